package rig

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/config/longtests"
)

//go:embed home.conf
var home []byte

// Rig is a running CUPS with one queue, "home".
type Rig struct {
	Socket string // of CUPS

	t      testing.TB
	folder string
	env    []string
	port   int
	cups   *exec.Cmd
	device *exec.Cmd // the printer
}

// Received is a job as it reached the printer.
type Received struct {
	PDF []byte
	Env map[string]string // the job's attributes as ippeveprinter gives them to its command: IPP_SIDES, IPP_MEDIA_COL ...
}

// Start starts all of it, or skips the test where a program is missing. The processes end with the test.
func Start(t testing.TB) *Rig {
	t.Helper()
	longtests.Only(t)
	if os.Getenv("CUPS_TESTS") == "off" {
		t.Skip("CUPS_TESTS=off: nothing is printed")
	}
	if testing.Short() {
		t.Skip("CUPS takes some seconds to start")
	}
	for _, program := range []string{"cupsd", "lpadmin", "ippeveprinter", "avahi-daemon", "dbus-daemon"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("there is no %s (Debian: cups cups-client cups-filters cups-ipp-utils avahi-daemon dbus)", program)
		}
	}
	if os.Getuid() != 0 {
		t.Skip("a CUPS of one's own takes the rights of root")
	}
	// Not t.TempDir: its name may be too long for a socket.
	folder, err := os.MkdirTemp("", "rig")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	if err := os.Chmod(folder, 0o755); err != nil { // the filters of CUPS run as another user
		t.Fatal(err)
	}
	r := &Rig{t: t, folder: folder, Socket: filepath.Join(folder, "cups.sock"), env: append(os.Environ(), "DBUS_SYSTEM_BUS_ADDRESS=unix:path="+shareBus(t))}
	r.port = freePort(t)
	r.printer()
	r.configure()
	r.StartCUPS()
	r.queue("home")
	// CUPS writes a new queue down half a minute later, or when it ends: so that one that is killed still knows it.
	stop(r.cups, syscall.SIGTERM)
	r.StartCUPS()
	if !r.trays("home") {
		t.Log("CUPS has forgotten the trays of its queue; the queue is made again")
		r.queue("home")
	}
	return r
}

func (r *Rig) write(name, text string, mode os.FileMode) string {
	path := filepath.Join(r.folder, name)
	if err := os.WriteFile(path, []byte(text), mode); err != nil {
		r.t.Fatal(err)
	}
	return path
}

// startDaemon starts a program that ends with the test.
func (r *Rig) startDaemon(name string, args ...string) *exec.Cmd {
	c := start(r.t, r.folder, r.env, name, args...)
	r.t.Cleanup(func() { stop(c, syscall.SIGTERM) })
	return c
}

// start starts a program that logs to a folder.
func start(t testing.TB, folder string, env []string, name string, args ...string) *exec.Cmd {
	log, err := os.OpenFile(filepath.Join(folder, name+".log"), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		t.Fatal(err)
	}
	defer log.Close()
	c := exec.Command(name, args...)
	c.Env, c.Stdout, c.Stderr = env, log, log
	c.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL} // should the test be killed
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c
}

// stop ends a process by its id and waits for it, five seconds at most.
func stop(c *exec.Cmd, signal syscall.Signal) {
	if c.ProcessState != nil {
		return
	}
	_ = c.Process.Signal(signal) // it may have ended by itself
	late := time.AfterFunc(5*time.Second, func() { _ = c.Process.Kill() })
	_ = c.Wait() // how it ended does not matter
	late.Stop()
}

// wait waits until something holds, for twenty seconds at most.
func (r *Rig) wait(what string, holds func() bool) {
	r.t.Helper()
	wait(r.t, r.folder, what, holds)
}

func wait(t testing.TB, folder, what string, holds func() bool) {
	t.Helper()
	for until := time.Now().Add(20 * time.Second); !holds(); time.Sleep(50 * time.Millisecond) {
		if time.Now().After(until) {
			for _, log := range []string{"ippeveprinter", "cupsd", "avahi-daemon"} {
				text, _ := os.ReadFile(filepath.Join(folder, log+".log")) // not each is there
				t.Logf("%s: %s", log, text[max(0, len(text)-2000):])
			}
			t.Fatalf("waited in vain for %s", what)
		}
	}
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

// bus is what ippeveprinter refuses to start without, even where it is to announce nothing. It can run only once on a machine, so
// the rigs of a process share it, and other processes wait.
var bus struct {
	sync.Mutex
	users  int
	folder string
	lock   *os.File
	run    []*exec.Cmd
}

// shareBus is the socket of the bus, which runs until the last of the tests that share it ends.
func shareBus(t testing.TB) string {
	bus.Lock()
	defer bus.Unlock()
	bus.users++
	t.Cleanup(func() {
		bus.Lock()
		defer bus.Unlock()
		if bus.users--; bus.users > 0 {
			return
		}
		for _, c := range bus.run {
			stop(c, syscall.SIGTERM)
		}
		bus.run = nil
		bus.lock.Close()
		os.RemoveAll(bus.folder)
	})
	if bus.users == 1 {
		startBus(t)
	}
	return filepath.Join(bus.folder, "bus")
}

// otherRun is how long to wait for another run of these tests on the machine, which takes half a minute.
const otherRun = 8 * time.Minute

func startBus(t testing.TB) {
	var err error
	if bus.lock, err = os.OpenFile(filepath.Join(os.TempDir(), "tuckmark-rig.lock"), os.O_CREATE|os.O_RDWR, 0o600); err != nil {
		t.Fatal(err)
	}
	for until := time.Now().Add(otherRun); ; time.Sleep(200 * time.Millisecond) {
		err := syscall.Flock(int(bus.lock.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if err == nil {
			break
		}
		if !errors.Is(err, syscall.EWOULDBLOCK) && !errors.Is(err, syscall.EINTR) || time.Now().After(until) {
			t.Fatalf("the tests of printing are run elsewhere on this machine, and did not end in %v: %v", otherRun, err)
		}
	}
	if bus.folder, err = os.MkdirTemp("", "bus"); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"bus.conf": fmt.Sprintf(`<busconfig><listen>unix:path=%s/bus</listen><auth>EXTERNAL</auth>
<policy context="default"><allow user="*"/><allow own="*"/><allow send_type="method_call"/><allow send_type="signal"/><allow send_type="method_return"/><allow send_type="error"/><allow receive_type="method_call"/><allow receive_type="signal"/><allow receive_type="method_return"/><allow receive_type="error"/></policy></busconfig>`, bus.folder),
		"avahi.conf": "[server]\nallow-interfaces=lo\nuse-ipv6=no\n[wide-area]\nenable-wide-area=no\n[publish]\ndisable-publishing=yes\n",
	} {
		if err := os.WriteFile(filepath.Join(bus.folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	env := append(os.Environ(), "DBUS_SYSTEM_BUS_ADDRESS=unix:path="+filepath.Join(bus.folder, "bus"))
	bus.run = append(bus.run, start(t, bus.folder, env, "dbus-daemon", "--nofork", "--config-file="+filepath.Join(bus.folder, "bus.conf")))
	wait(t, bus.folder, "the bus", func() bool { return exists(filepath.Join(bus.folder, "bus")) })
	daemon := start(t, bus.folder, env, "avahi-daemon", "-f", filepath.Join(bus.folder, "avahi.conf"), "--no-drop-root", "--no-chroot", "--no-rlimits")
	bus.run = append(bus.run, daemon)
	wait(t, bus.folder, "avahi", func() bool {
		pid, err := os.ReadFile("/run/avahi-daemon/pid")
		return err == nil && strings.TrimSpace(string(pid)) == fmt.Sprint(daemon.Process.Pid)
	})
}

// receive is what the printer does with a job: it stops as long as it is told to, then keeps what it was given.
const receive = `#!/bin/sh
while [ -e %[1]s/hold ]; do
  reason=$(cat %[1]s/hold 2>/dev/null)
  if [ -n "$reason" ] && [ "$reason" != "$said" ]; then
    [ -z "$said" ] || echo "STATE: -$said" >&2
    echo "STATE: +$reason" >&2
    said=$reason
  fi
  sleep 0.1
done
[ -z "$said" ] || echo "STATE: -$said" >&2
[ ! -e %[1]s/slow ] || sleep "$(cat %[1]s/slow)"
n=$(printf %%03d "$(ls %[1]s/received | wc -l)")
mkdir %[1]s/received/$n.part
cp "$1" %[1]s/received/$n.part/document
env >%[1]s/received/$n.part/env
mv %[1]s/received/$n.part %[1]s/received/$n
`

func (r *Rig) printer() {
	r.write("home.conf", string(home), 0o600)
	r.write("receive", fmt.Sprintf(receive, r.folder), 0o700)
	for _, d := range []string{"received", "printer"} {
		if err := os.Mkdir(filepath.Join(r.folder, d), 0o700); err != nil {
			r.t.Fatal(err)
		}
	}
	r.SwitchOn()
}

// SwitchOn switches the printer on, again after SwitchOff.
func (r *Rig) SwitchOn() {
	r.device = r.startDaemon("ippeveprinter", "-n", "localhost", "-p", fmt.Sprint(r.port), "-r", "off", "-d", filepath.Join(r.folder, "printer"), "-a", filepath.Join(r.folder, "home.conf"), "-c", filepath.Join(r.folder, "receive"), "-vv", "home")
	r.wait("the printer", func() bool { return answers("tcp", fmt.Sprintf("localhost:%d", r.port)) })
}

// SwitchOff switches it off: nothing answers for it any more.
func (r *Rig) SwitchOff() { stop(r.device, syscall.SIGKILL) }

func answers(network, address string) bool {
	c, err := net.DialTimeout(network, address, time.Second)
	if err == nil {
		c.Close()
	}
	return err == nil
}

func freePort(t testing.TB) int {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port
}

func (r *Rig) configure() {
	for _, d := range []string{"etc", "spool", "spool/tmp", "cache", "state", "log"} {
		if err := os.MkdirAll(filepath.Join(r.folder, d), 0o755); err != nil {
			r.t.Fatal(err)
		}
	}
	r.write("etc/cups-files.conf", strings.ReplaceAll(`ServerRoot DIR/etc
RequestRoot DIR/spool
TempDir DIR/spool/tmp
CacheDir DIR/cache
StateDir DIR/state
ErrorLog DIR/log/error
AccessLog DIR/log/access
PageLog DIR/log/page
Printcap DIR/printcap
SystemGroup root
`, "DIR", r.folder), 0o600)
	r.write("etc/cupsd.conf", fmt.Sprintf(`Listen %s
LogLevel info
Browsing No
WebInterface No
DefaultAuthType None
ErrorPolicy retry-job
JobRetryInterval 2
<Location />
  Order allow,deny
  Allow localhost
</Location>
`, r.Socket), 0o600)
}

// carry stands before the program that carries jobs to the printer, and ends as it is told to.
const carry = `#!/bin/sh
[ $# -gt 0 ] || exit 0
ends=
if [ -s %[1]s/ends ]; then
  ends=$(head -n 1 %[1]s/ends)
  sed -i 1d %[1]s/ends
fi
case $ends in "now "*) exit "${ends#now }";; esac
/usr/lib/cups/backend/ipp "$@" || exit
exit "${ends:-0}"
`

// Ends makes the program that carries jobs to the printer end its next runs with these codes, when the job is printed ("7") or before anything is ("now 7"). By
// them and by the queue's policy for errors CUPS decides whether it begins the job anew (the manuals of backend and lpadmin). CUPS is started anew for it.
func (r *Rig) Ends(policy string, ends ...string) {
	r.t.Helper()
	const programs = "/usr/lib/cups"
	r.write("ends", strings.Join(append(ends, ""), "\n"), 0o600)
	own := filepath.Join(r.folder, "bin")
	if !exists(own) {
		err := os.MkdirAll(filepath.Join(own, "backend"), 0o755)
		for _, d := range []string{"filter", "notifier", "monitor", "daemon", "driver", "cgi-bin"} {
			err = errors.Join(err, os.Symlink(filepath.Join(programs, d), filepath.Join(own, d)))
		}
		conf, failed := os.ReadFile(filepath.Join(r.folder, "etc/cups-files.conf"))
		if err = errors.Join(err, failed); err != nil {
			r.t.Fatal(err)
		}
		r.write("bin/backend/ipp", fmt.Sprintf(carry, r.folder), 0o700) // what others may not run is run as root
		r.write("etc/cups-files.conf", string(conf)+"ServerBin "+own+"\n", 0o600)
		r.StopCUPS()
		r.StartCUPS()
	}
	if said, err := r.Admin("lpadmin", "-p", "home", "-o", "printer-error-policy="+policy); err != nil {
		r.t.Fatal(err, said)
	}
}

// StartCUPS starts it, again after StopCUPS.
func (r *Rig) StartCUPS() {
	r.t.Helper()
	_ = os.Remove(r.Socket) // a killed one leaves it
	r.cups = r.startDaemon("cupsd", "-f", "-c", filepath.Join(r.folder, "etc/cupsd.conf"), "-s", filepath.Join(r.folder, "etc/cups-files.conf"))
	r.wait("CUPS", func() bool { return answers("unix", r.Socket) })
}

// StopCUPS ends CUPS as a system does, which keeps its jobs.
func (r *Rig) StopCUPS() { stop(r.cups, syscall.SIGTERM) }

// KillCUPS ends it without any warning.
func (r *Rig) KillCUPS() { stop(r.cups, syscall.SIGKILL) }

// Admin runs one of CUPS' commands against this CUPS: lpadmin, cupsdisable, cancel ...
func (r *Rig) Admin(command string, args ...string) (string, error) {
	ctx, cancel := context.WithTimeout(context.Background(), 15*time.Second) // they wait for CUPS, and CUPS for the printer, without an end
	defer cancel()
	c := exec.CommandContext(ctx, command, args...)
	c.Env = append(os.Environ(), "CUPS_SERVER="+r.Socket)
	c.SysProcAttr = &syscall.SysProcAttr{Setsid: true} // without a terminal they ask for no password
	c.WaitDelay = time.Second
	out, err := c.CombinedOutput()
	return string(out), errors.Join(err, ctx.Err())
}

// queue makes a queue for the printer, again until CUPS knows its trays: now and then one that has just been started does not.
func (r *Rig) queue(name string) {
	var said string
	r.wait("the queue", func() bool {
		var err error
		said, err = r.Admin("lpadmin", "-p", name, "-v", fmt.Sprintf("ipp://localhost:%d/ipp/print", r.port), "-E", "-m", "everywhere")
		return err == nil && r.trays(name)
	})
	if _, err := r.Admin("lpadmin", "-d", name); err != nil {
		r.t.Fatal(err, said)
	}
}

// trays reports whether CUPS knows the trays of a queue.
func (r *Rig) trays(name string) bool {
	client, err := ipp.Local(r.Socket)
	if err != nil {
		r.t.Fatal(err)
	}
	m, err := client.Do(context.Background(), "/printers/"+name, ipp.GetPrinterAttributes, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, "ipp://localhost/printers/"+name),
		ipp.Attr("requested-attributes", ipp.Keyword, "media-source-supported")}, nil, nil)
	return err == nil && len(m.Group(ipp.PrinterGroup).Texts("media-source-supported")) > 0
}

// Hold stops the printer in the middle of its next job, for a reason such as media-jam-error.
func (r *Rig) Hold(reason string) { r.write("hold", reason, 0o600) }

// Release lets the printer go on.
func (r *Rig) Release() { _ = os.Remove(filepath.Join(r.folder, "hold")) } // it may not be there

// Slow makes each job take so many seconds.
func (r *Rig) Slow(seconds string) { r.write("slow", seconds, 0o600) }

// Received are the jobs that reached the printer, in their order.
func (r *Rig) Received() []Received {
	r.t.Helper()
	folders, err := filepath.Glob(filepath.Join(r.folder, "received", "[0-9][0-9][0-9]"))
	if err != nil {
		r.t.Fatal(err)
	}
	sort.Strings(folders)
	var out []Received
	for _, f := range folders {
		pdf, err := os.ReadFile(filepath.Join(f, "document"))
		if err != nil {
			r.t.Fatal(err)
		}
		env, err := os.ReadFile(filepath.Join(f, "env"))
		if err != nil {
			r.t.Fatal(err)
		}
		one := Received{PDF: pdf, Env: map[string]string{}}
		for _, line := range strings.Split(string(env), "\n") {
			if k, v, ok := strings.Cut(line, "="); ok {
				one.Env[k] = v
			}
		}
		out = append(out, one)
	}
	return out
}

package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/problem"
)

// Options say how a desk is started.
type Options struct {
	Files     []string // of the job; none: the page asks
	NoBrowser bool
	Work      string                                             // the folder in which jobs are begun and found
	Settings  func(near string) (*config.Settings, problem.List) // those that hold for a job beside that file
	Say       func(line string)                                  // on the terminal
	Browser   func(address string) (file string, err error)      // opens it; nil: the system's
	limits    func(*guard)                                       // of tests
	handler   func(http.Handler)                                 // is told what answers requests; of tests
	atOnce    bool                                               // nothing waits until a hand rests; of tests
	idleAfter time.Duration                                      // since the last page was closed; 0: ten minutes
	readsIn   time.Duration                                      // how long a browser may take to read a file; 0: five seconds
	looksEach time.Duration                                      // from one look at the configuration to the next; 0: a second
	printer   *printer                                           // stands in for the computer's; of tests
}

// Refused is what keeps a desk from being opened.
type Refused struct {
	Problems problem.List
	Settings bool // they are wrong, not the job
}

func (r *Refused) Error() string { return r.Problems[0].What }

// address is the one that the desk listens on: this machine's own, and no name that somebody else could make lead here.
const address = "127.0.0.1"

// loopback reports whether an address with its port is one that only this machine reaches.
func loopback(host string) bool {
	at, err := netip.ParseAddrPort(host)
	return err == nil && at.Addr().IsLoopback()
}

// entry is the address by which a browser enters. The secret stands behind the hash, which browsers send nowhere.
func entry(host, secret string) string { return "http://" + host + "/enter#" + secret }

// idleLimit is how long the desk stays when no page is open.
const idleLimit = 10 * time.Minute

// server is a running desk.
type server struct {
	options Options
	guard   *guard
	hub     *hub
	host    string
	stop    context.CancelFunc
	entered atomic.Pointer[func()] // what to do once somebody has entered; nil: nothing
	private string                 // folder of the lock that the desk has from its start
	ctx     context.Context

	printer printer
	foot    foot         // that was told last, by the layer
	taking  atomic.Int32 // files that are being taken over
	renewed atomic.Int64 // how often what was made, or a configuration, has become another

	mutex sync.Mutex
	job   *openJob // nil: none yet
	trial trials
}

// openJob is the job on the desk.
type openJob struct {
	book    *jobbook.Book
	key     string // what its pages name it by
	layer   *layer
	renewed func() // tells pages that what was made, or the configuration, is another; takes no lock of ours
	lock    lock
	told    told // what opening it came upon, and taking files in, beside what is said of its rows
	end     context.CancelFunc
	done    chan struct{}

	config   atomic.Pointer[save.Digest] // of its configuration as it was read; of "": there was none
	watched  configWatch
	saying   sync.Mutex    // held while pages are told of the workbook
	lastSaid jobbook.Event // that they were told
	noted    string        // what there was to say beside that, for a while
	notedAt  time.Time
	outputs  outputs
	printing printing
	pressed  pressed
	trying   trying
	keepCuts sync.Mutex // held while it is written how far the cuts are done
	cutsKept int        // how often that was written
	costing  sync.Mutex // held while a cost is changed, since all are written anew with it
}

// Run serves a desk until it is quit, nobody has had a page open for ten minutes, or the context is done. A job that another desk has open is
// opened there.
func Run(ctx context.Context, o Options) error {
	listener, err := net.Listen("tcp4", address+":0")
	if err != nil {
		return &Refused{Problems: problem.List{{What: "the desk cannot listen on this machine's own address, " + address, Cause: plainReason(err), Hint: "look whether a security program forbids it"}}}
	}
	defer listener.Close()
	_, port, _ := net.SplitHostPort(listener.Addr().String())
	s := &server{options: o, host: address + ":" + port, hub: newHub(time.Now)}
	s.guard = newGuard(s.host, port)
	if s.printer = thisPrinter(); o.printer != nil {
		s.printer = *o.printer
	}
	if o.limits != nil {
		o.limits(s.guard)
	}
	s.ctx, s.stop = context.WithCancel(ctx)
	defer s.stop()
	end, found, err := s.begun()
	var taken *elsewhere
	if errors.As(err, &taken) {
		if !o.NoBrowser { // then the address stands alone
			o.Say("The desk is open already; it is opened again in your browser.")
		}
		return s.show(taken.address, true)
	}
	if errors.Is(err, context.Canceled) {
		o.Say("Stopped; the desk was not opened.")
		return nil
	}
	if err != nil {
		return refusedBy(err, found)
	}
	defer end()
	defer s.tidy()
	handler := s.guard.handler(s.routes())
	if o.handler != nil {
		o.handler(handler)
	}
	web := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       30 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    16 << 10,
		ErrorLog:          quiet,
	}
	served := make(chan error, 1)
	connections := &limited{Listener: listener, free: make(chan struct{}, mostConnections), open: map[net.Conn]bool{}}
	go func() { served <- web.Serve(connections) }()
	if err := s.show(entry(s.host, s.guard.newSecret()), false); err != nil {
		return err
	}
	go s.watchIdle()
	<-s.ctx.Done()
	s.hub.stop(s.unsaved())
	last, cancel := context.WithTimeout(context.Background(), 3*time.Second)
	defer cancel()
	defer time.AfterFunc(lastWords, connections.hush).Stop()
	if web.Shutdown(last) != nil {
		web.Close()
	}
	<-served //nolint:errcheck // it says that it was closed
	if err := s.closeJob(); err != nil {
		return refusedBy(err, nil)
	}
	return nil
}

// show opens the browser, or says where the desk is.
func (s *server) show(address string, elsewhere bool) error {
	if s.options.NoBrowser {
		s.options.Say(address)
		return nil
	}
	opens := s.options.Browser
	if opens == nil {
		opens = func(address string) (string, error) { return openBrowser(s.private, address) }
	}
	file, err := opens(address)
	remove := func() {
		if file != "" {
			os.RemoveAll(filepath.Dir(file))
		}
	}
	if err != nil {
		remove()
		s.options.Say("No browser could be opened. Open this address in one; it is good once: " + address)
		return nil
	}
	readsIn := cmp.Or(s.options.readsIn, 5*time.Second)
	if elsewhere { // the other desk does not know of the file
		time.Sleep(readsIn)
		remove()
		return nil
	}
	in := make(chan struct{})
	once := sync.OnceFunc(func() {
		remove()
		close(in)
	})
	s.entered.Store(&once)
	s.options.Say("The desk is open in your browser. It ends with “Quit” there, with Ctrl-C here, or ten minutes after its last page is closed.")
	go func() {
		select {
		case <-in:
		case <-time.After(3 * readsIn): // the browser may have found no way to the file
			s.options.Say("No page has been opened yet. If none comes, open this address in a browser; it is good once: " + entry(s.host, s.guard.newSecret()))
			time.AfterFunc(7*readsIn, once)
		}
	}()
	return nil
}

// tidy removes the file that the browser was started on.
func (s *server) tidy() {
	if entered := s.entered.Load(); entered != nil {
		(*entered)()
	}
}

func (s *server) watchIdle() {
	limit := s.options.idleAfter
	if limit == 0 {
		limit = idleLimit
	}
	for s.hub.idle() < limit || s.prints() {
		select {
		case <-time.After(min(limit/4, 5*time.Second)):
		case <-s.ctx.Done():
			return
		}
	}
	s.options.Say("No page was open for ten minutes; the desk is closed.")
	s.stop()
}

// prints reports whether something is in the printer.
func (s *server) prints() bool {
	j := s.current()
	return j != nil && j.printing.busy()
}

// elsewhere is a job, or a folder, that another desk has open, and the address of that.
type elsewhere struct{ address string }

func (e *elsewhere) Error() string { return errTaken.Error() }

// begun opens the job that the desk was started with. Without one it takes the lock of the folder, so that who starts it there again, by a second double
// click, finds this desk. End undoes that.
func (s *server) begun() (end func(), found problem.List, err error) {
	if files := s.options.Files; len(files) > 0 {
		s.private = filepath.Dir(lockFile(jobbook.PathFor(files)))
		found, err = s.openFiles(files)
		return func() { _ = s.closeJob() }, found, err // Run's end tells how it went, unless it does not come so far
	}
	s.private = filepath.Join(s.options.Work, ".desk")
	file := filepath.Join(s.private, "lock")
	l, err := s.take(file, problem.Problem{Place: problem.Place{File: s.options.Work}, What: "this folder cannot be written to, and the desk keeps jobs in the folder that it is started in", Hint: "start it in a folder of your own"})
	return func() { l.release(file) }, nil, err
}

// take takes a lock: it is an *elsewhere where another desk has it, and the problem where the folder does not let itself be written to.
func (s *server) take(file string, unwritable problem.Problem) (lock, error) {
	l := lock{Process: os.Getpid(), Host: s.host, Key: s.guard.key}
	l.Folder, _ = filepath.Abs(filepath.Dir(file))
	address, err := l.take(file)
	switch {
	case errors.Is(err, errTaken):
		return l, &elsewhere{address}
	case err != nil:
		unwritable.Cause, unwritable.Disk = plainReason(err), true
		return l, &Refused{Problems: problem.List{unwritable}}
	}
	return l, nil
}

// openFiles opens the job of some files.
func (s *server) openFiles(files []string) (problem.List, error) {
	path := jobbook.PathFor(files)
	return s.open(path, func(ctx context.Context, c *config.Settings) (*jobbook.Book, problem.List, error) {
		if err := jobbook.AwaitWritten(ctx, path, func() {
			s.options.Say("Another program has begun to write " + filepath.Base(path) + "; waiting for the rest.")
		}); err != nil {
			return nil, nil, err
		}
		b, _, found, err := jobbook.ImportAs(ctx, path, files, c)
		return b, found, err
	})
}

// open takes the lock of a job's workbook and opens it with the function. What was open before is closed.
func (s *server) open(path string, get func(context.Context, *config.Settings) (*jobbook.Book, problem.List, error)) (problem.List, error) {
	settings, read, found, unread := s.settingsOf(path) // now: opening may take its time, and who changes it meanwhile is heard
	if settings == nil {
		return found, &Refused{Problems: found, Settings: true}
	}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.job != nil && s.job.printing.busy() {
		return nil, errPrinting
	}
	if s.job != nil {
		if err := s.job.book.Settle(); err != nil { // it stays on the desk, and is laid on
			return nil, err
		}
	}
	if err := s.close(); err != nil {
		return nil, err
	}
	file := lockFile(path)
	l, err := s.take(file, problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the folder of the job cannot be written to", Hint: "copy the file to a folder of your own and open it there"})
	if err != nil {
		return nil, err
	}
	book, more, err := get(s.ctx, settings)
	found = append(found, more...)
	if err != nil {
		l.release(file)
		return found, err
	}
	if unread != nil {
		found.Note(problem.Place{File: filepath.Base(settings.File)}, "the configuration can no longer be read", plainReason(unread), "")
	}
	ctx, end := context.WithCancel(s.ctx)
	j := &openJob{book: book, key: jobKey(book.Path()), lock: l, end: end, done: make(chan struct{})}
	j.config.Store(&read)
	j.watched.load = func() (*config.Settings, problem.List) { return s.options.Settings(path) }
	j.watched.tell = func() { s.tellConfig(j) }
	j.readPressed()
	s.hub.forget()
	j.renewed = func() { s.hub.tell("made", map[string]int64{"n": s.renewed.Add(1)}) }
	j.printing.tell = func() { s.hub.tell("print", struct{}{}) }
	j.printing.after, j.printing.run = j.make, s.printer.run
	s.foot = foot{}
	j.layer = newLayer(book, settings, read, func(n *laid) { s.tellLaid(n) })
	j.tell(found, "")
	if s.options.atOnce {
		j.layer.soonAfter, j.layer.wholeAfter = 0, 0
	}
	s.tellBook(j, jobbook.Event{Kind: jobbook.Saved, Revision: book.Revision()})
	book.Watch(func(e jobbook.Event) { s.tellBook(j, e) }) // which tells at once what trouble there is
	go func() {
		defer close(j.done)
		var kept sync.WaitGroup
		kept.Go(func() { l.keep(ctx, file, path) })
		kept.Go(func() { j.watchConfig(ctx, cmp.Or(s.options.looksEach, configLooks)) })
		j.layer.run(ctx)
		kept.Wait()
	}()
	s.job = j
	return found, nil
}

// lockFile is the lock of a job's workbook, beside its journal.
func lockFile(path string) string { return filepath.Join(jobbook.Folder(path), "lock") }

func (s *server) closeJob() error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.close()
}

// close closes the job, if there is one; the mutex is held.
func (s *server) close() error {
	j := s.job
	if j == nil {
		return nil
	}
	j.printing.close()
	j.end()
	<-j.done
	if err := j.book.Close(); err != nil {
		return err
	}
	j.lock.release(lockFile(j.book.Path()))
	s.job = nil
	return nil
}

// unsaved saves the job and says why that cannot be done; "": it is saved, or there is none.
func (s *server) unsaved() string {
	j := s.current()
	if j == nil {
		return ""
	}
	var p *problem.Problem
	if errors.As(j.book.Settle(), &p) {
		return sentence(*p)
	}
	return ""
}

// current is the job on the desk, or nil.
func (s *server) current() *openJob {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.job
}

// refusedBy makes an error what a person reads.
func refusedBy(err error, found problem.List) error {
	var r *Refused
	if errors.As(err, &r) {
		return r
	}
	var p *problem.Problem
	if found.Errors() > 0 {
		return &Refused{Problems: found}
	}
	if errors.As(err, &p) {
		return &Refused{Problems: problem.List{*p}}
	}
	return err
}

// bookState is what pages are told of the workbook.
type bookState struct {
	Revision  jobbook.Revision `json:"revision"`
	Said      string           `json:"said"`
	Stop      bool             `json:"stop"` // something has to be done
	Questions int              `json:"questions"`
	Job       string           `json:"job"`
}

// tellBook tells pages what happened to the workbook.
func (s *server) tellBook(j *openJob, e jobbook.Event) {
	j.saying.Lock()
	defer j.saying.Unlock()
	j.lastSaid = e
	if e.Kind == jobbook.Modified || e.Kind == jobbook.Merged {
		j.layer.change()
	}
	if e.Kind == jobbook.Noted && e.Problem != nil {
		j.noted, j.notedAt = e.Problem.What, time.Now()
	}
	s.sayBook(j, e)
}

// tellConfig tells them once more, since the configuration is wrong, or no longer.
func (s *server) tellConfig(j *openJob) {
	j.saying.Lock()
	defer j.saying.Unlock()
	s.sayBook(j, j.lastSaid)
}

// timeToRead is how long a note stands behind what else is said.
const timeToRead = time.Minute

// sayBook says how the workbook stands, unless the configuration is what somebody has to look at first.
func (s *server) sayBook(j *openJob, e jobbook.Event) {
	b := bookState{Revision: j.book.Revision(), Said: "saved", Questions: len(j.book.Questions()) + len(j.unknown()), Job: j.key}
	switch e.Kind {
	case jobbook.Modified:
		b.Said = "saving…"
	case jobbook.Merged:
		b.Said = "saved; what another program changed in the workbook was taken over"
	case jobbook.Noted:
		b.Said = ""
	case jobbook.Unsaved:
		b.Said, b.Stop = "not saved", true
		if p := e.Problem; p != nil {
			b.Said = "not saved: " + p.What
			if p.Hint != "" {
				b.Said += "; " + p.Hint
			}
		}
	}
	if j.noted != "" && !b.Stop && time.Since(j.notedAt) < timeToRead { // the saving that follows at once says its own
		if b.Said != "" {
			b.Said += "; "
		}
		b.Said += j.noted
	}
	b.Said = cmp.Or(b.Said, "saved")
	if p := j.watched.wrong.Load(); p != nil && !b.Stop {
		b.Said, b.Stop = sentence(*p), true
	}
	s.hub.tell("book", b)
}

// tellLaid tells how far the job is laid. Until its sheets are laid anew the foot has the numbers of before.
func (s *server) tellLaid(n *laid) {
	f := n.foot()
	if n.stage == onlySet && len(s.foot.Counts) > 0 {
		f.Counts = s.foot.Counts
	}
	s.foot = f
	s.hub.tell("foot", f)
	s.hub.tell("laid", map[string]any{"revision": n.revision, "stage": n.stage})
}

// mostConnections is the most connections at once. A browser opens six for a page.
const mostConnections = 128

// lastWords is how long a desk that ends waits for what is still being said to it. A connection on which nothing comes, such as browsers keep in
// store, would hold it for seconds.
const lastWords = 100 * time.Millisecond

// limited hands out a listener's connections, so many at a time.
type limited struct {
	net.Listener
	free chan struct{}

	mutex sync.Mutex
	open  map[net.Conn]bool
}

// hush has nothing more read from the connections; what was asked is still answered.
func (l *limited) hush() {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	for c := range l.open {
		c.SetReadDeadline(time.Unix(1, 0))
	}
}

func (l *limited) Accept() (net.Conn, error) {
	l.free <- struct{}{}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.free
		return nil, err
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.open[c] = true
	return &counted{Conn: c, done: sync.OnceFunc(func() {
		l.mutex.Lock()
		defer l.mutex.Unlock()
		delete(l.open, c)
		<-l.free
	})}, nil
}

type counted struct {
	net.Conn
	done func()
}

func (c *counted) Close() error {
	defer c.done()
	return c.Conn.Close()
}

// plainReason is what the system objected to, without the names of its calls.
func plainReason(err error) string {
	var at *os.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	var op *net.OpError
	if errors.As(err, &op) {
		return op.Err.Error()
	}
	return fmt.Sprint(err)
}

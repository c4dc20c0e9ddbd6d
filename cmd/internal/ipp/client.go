package ipp

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/user"
	"strings"
	"time"
)

// Operations (RFC 8011, 5.4.15; RFC 3995, 11, and 3996, 5, for those of events; the last two are CUPS' own).
const (
	CreateJob            = 0x0005
	SendDocument         = 0x0006
	CancelJob            = 0x0008
	GetJobAttributes     = 0x0009
	GetJobs              = 0x000A
	GetPrinterAttributes = 0x000B
	ReleaseJob           = 0x000D
	subscribeQueue       = 0x0016
	GetSubscriptions     = 0x0019
	CancelSubscription   = 0x001B
	GetNotifications     = 0x001C
	GetDefault           = 0x4001
	GetPrinters          = 0x4002
)

// Status codes that a caller has an answer to (RFC 8011, appendix B).
const (
	Forbidden = 0x0401
	NotFound  = 0x0406
)

// StatusError is an answer that is a refusal.
type StatusError struct {
	Status  int
	Message string // of CUPS
}

func (e *StatusError) Error() string { return fmt.Sprintf("ipp: status %04x: %s", e.Status, e.Message) }

// Is reports whether an error is a refusal with that status.
func Is(err error, status int) bool {
	var e *StatusError
	return errors.As(err, &e) && e.Status == status
}

// ErrRemote says that CUPS_SERVER names another computer.
var ErrRemote = errors.New("ipp: CUPS_SERVER is not on this computer")

// Client talks to CUPS on this computer. It may be used by one goroutine at a time.
type Client struct {
	http *http.Client
	user string
	last uint32
}

const patience = 10 * time.Second // for an answer; CUPS on this computer answers in milliseconds

// The places of CUPS' socket: Debian and most others, macOS, older systems.
var sockets = []string{"/run/cups/cups.sock", "/private/var/run/cupsd", "/var/run/cups/cups.sock"}

// Local is a client of the CUPS of this computer: the one that CUPS_SERVER names (a socket, or a loopback address with its
// port), or the one at its usual socket or port. Whether it runs shows with the first request.
func Local(server string) (*Client, error) {
	network, address := "tcp", "127.0.0.1:631"
	switch {
	case strings.HasPrefix(server, "/"):
		network, address = "unix", server
	case server != "":
		host, port, err := net.SplitHostPort(server)
		if err != nil {
			host, port = server, "631"
		}
		if host == "localhost" {
			host = "127.0.0.1"
		}
		if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
			return nil, ErrRemote
		}
		address = net.JoinHostPort(host, port)
	default:
		for _, s := range sockets {
			if _, err := os.Stat(s); err == nil {
				network, address = "unix", s
				break
			}
		}
	}
	c := &Client{user: "anonymous"}
	if u, err := user.Current(); err == nil {
		c.user = u.Username
	}
	var d net.Dialer
	c.http = &http.Client{Timeout: patience, Transport: &http.Transport{
		DialContext:       func(ctx context.Context, _, _ string) (net.Conn, error) { return d.DialContext(ctx, network, address) },
		DisableKeepAlives: true, // CUPS may be stopped between two requests, and a request is not to be sent twice by itself
	}}
	return c, nil
}

// As is the same client for another user of this computer.
func (c *Client) As(user string) *Client {
	out := *c
	out.user = user
	return &out
}

// Do sends a request to a resource of CUPS ("/", "/printers/NAME", "/jobs/7") and returns the answer. Attributes go to the group of
// the operation behind those that each request has; job, if any, to that of the job. The error is a *StatusError where CUPS
// refused; any other means that it is not known whether CUPS got the request.
func (c *Client) Do(ctx context.Context, resource string, operation uint16, attributes, job Attributes, document []byte) (*Message, error) {
	return c.do(ctx, resource, operation, attributes, Group{JobGroup, job}, document)
}

// Subscribe has CUPS keep what happens to the jobs of a queue, by the kinds of events that are named, for so many seconds or until the subscription is cancelled
// (RFC 3996). CUPS would drop a job's own subscription when the job ends.
func (c *Client) Subscribe(ctx context.Context, queue string, seconds int, events ...string) (id int, err error) {
	m, err := c.do(ctx, "/", subscribeQueue, Attributes{Attr("printer-uri", URI, queue)}, Group{subscriptionGroup, Attributes{Attr("notify-pull-method", Keyword, "ippget"),
		Attr("notify-events", Keyword, events...), Number("notify-lease-duration", Integer, seconds)}}, nil)
	if err != nil {
		return 0, err
	}
	return m.Group(subscriptionGroup).Int("notify-subscription-id"), nil
}

// do sends a request with the attributes of the operation and of one group beside.
func (c *Client) do(ctx context.Context, resource string, operation uint16, attributes Attributes, beside Group, document []byte) (*Message, error) {
	c.last++
	head := Attributes{Attr("attributes-charset", Charset, "utf-8"), Attr("attributes-natural-language", Language, "en")}
	m := Message{Version: 0x0200, Code: operation, ID: c.last, Groups: []Group{{OperationGroup,
		append(append(head, attributes...), Attr("requesting-user-name", Name, c.user))}}}
	if len(beside.Attributes) > 0 {
		m.Groups = append(m.Groups, beside)
	}
	body := append(m.Encode(), document...)
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://localhost"+resource, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	r.GetBody = nil // never sent again
	r.Header.Set("Content-Type", "application/ipp")
	r.Header.Set("User-Agent", "tuckmark")
	answer, err := c.http.Do(r)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	if answer.StatusCode == http.StatusUnauthorized || answer.StatusCode == http.StatusForbidden {
		return nil, &StatusError{Forbidden, answer.Status}
	}
	if answer.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("ipp: CUPS answers %s", answer.Status)
	}
	const largest = 16 << 20
	data, err := io.ReadAll(io.LimitReader(answer.Body, largest))
	if err != nil {
		return nil, err
	}
	got, _, err := Decode(data)
	if err != nil {
		return nil, err
	}
	if got.ID != c.last {
		return nil, ErrMessage
	}
	if got.Code >= 0x0100 {
		return nil, &StatusError{int(got.Code), got.Group(OperationGroup).Text("status-message")}
	}
	return got, nil
}

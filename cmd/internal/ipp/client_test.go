package ipp

import (
	"context"
	"errors"
	"net"
	"net/http"
	"path/filepath"
	"testing"
)

// TestLocal: no server of another computer is asked.
func TestLocal(t *testing.T) {
	for server, want := range map[string]error{
		"": nil, "/run/cups/cups.sock": nil, "localhost": nil, "localhost:8631": nil, "127.0.0.1:631": nil, "[::1]:631": nil, "127.8.9.1": nil,
		"printers.example.org": ErrRemote, "192.0.2.7:631": ErrRemote, "localhost.example.org": ErrRemote, "0.0.0.0": ErrRemote, ":631": ErrRemote,
	} {
		if _, err := Local(server); !errors.Is(err, want) {
			t.Errorf("%q: %v, want %v", server, err, want)
		}
	}
}

// TestDo: refusals are told from answers that are none and from a server that is gone.
func TestDo(t *testing.T) {
	socket := filepath.Join(t.TempDir(), "s")
	listener, err := net.Listen("unix", socket)
	if err != nil {
		t.Skip(err) // no sockets with names here
	}
	var answer func(w http.ResponseWriter, m *Message)
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		data := make([]byte, 1<<16)
		n, _ := r.Body.Read(data)
		m, _, err := Decode(data[:n])
		if err != nil || r.URL.Path != "/printers/a b" || m.Group(OperationGroup).Text("requesting-user-name") == "" {
			t.Errorf("%v %s %+v", err, r.URL.Path, m)
			return
		}
		answer(w, m)
	})}
	go server.Serve(listener)
	c, err := Local(socket)
	if err != nil {
		t.Fatal(err)
	}
	do := func() (*Message, error) { return c.Do(context.Background(), "/printers/a%20b", GetJobs, nil, nil, nil) }
	say := func(status uint16, id uint32) func(http.ResponseWriter, *Message) {
		return func(w http.ResponseWriter, m *Message) {
			w.Write((&Message{Version: 0x0200, Code: status, ID: m.ID + id, Groups: []Group{{OperationGroup, Attributes{Attr("status-message", Text, "no")}}}}).Encode())
		}
	}
	answer = say(0, 0)
	if m, err := do(); err != nil || m.Group(OperationGroup).Text("status-message") != "no" {
		t.Error(m, err)
	}
	answer = say(NotFound, 0)
	if _, err := do(); !Is(err, NotFound) || Is(err, Forbidden) {
		t.Error(err)
	}
	answer = say(0, 1)
	if _, err := do(); !errors.Is(err, ErrMessage) {
		t.Error("an answer to another request:", err)
	}
	answer = func(w http.ResponseWriter, _ *Message) { http.Error(w, "", http.StatusForbidden) }
	if _, err := do(); !Is(err, Forbidden) {
		t.Error(err)
	}
	answer = func(w http.ResponseWriter, _ *Message) { http.Error(w, "", http.StatusBadGateway) }
	if _, err := do(); err == nil || Is(err, Forbidden) {
		t.Error(err)
	}
	server.Close()
	var refused *StatusError
	if _, err := do(); err == nil || errors.As(err, &refused) {
		t.Error(err)
	}
}

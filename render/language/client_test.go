package language_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"unicode/utf16"

	"github.com/sourcegraph/jsonrpc2"

	"benchleaf/render"
	"benchleaf/render/language"
)

// The client's own reading of the protocol, so that the server's is not held against itself.
type (
	pos struct {
		Line      int `json:"line"`
		Character int `json:"character"`
	}
	rang struct {
		Start pos `json:"start"`
		End   pos `json:"end"`
	}
	diagnostic struct {
		Range    rang   `json:"range"`
		Severity int    `json:"severity"`
		Code     string `json:"code"`
		Message  string `json:"message"`
	}
	published struct {
		URI         string       `json:"uri"`
		Version     *int         `json:"version"`
		Diagnostics []diagnostic `json:"diagnostics"`
	}
	edit struct {
		Range   rang   `json:"range"`
		NewText string `json:"newText"`
	}
	item struct {
		Label    string `json:"label"`
		Detail   string `json:"detail"`
		TextEdit edit   `json:"textEdit"`
	}
	location struct {
		URI   string `json:"uri"`
		Range rang   `json:"range"`
	}
	hovered struct {
		Contents struct{ Value string } `json:"contents"`
		Range    rang                   `json:"range"`
	}
	workspaceEdit struct {
		Changes         map[string][]edit `json:"changes"`
		DocumentChanges []struct {
			TextDocument struct {
				URI     string `json:"uri"`
				Version *int   `json:"version"`
			} `json:"textDocument"`
			Edits []edit `json:"edits"`
		} `json:"documentChanges"`
	}
)

// client is an editor with a session of its own.
type client struct {
	t        testing.TB
	dir      string
	conn     *jsonrpc2.Conn
	in       io.Closer // of the server
	ended    chan error
	encoding string
	log      *lockedBuffer
	judge    *render.Editing

	texts    map[string]string
	versions map[string]int
	came     chan published
	messages chan string
}

type lockedBuffer struct {
	mu sync.Mutex
	bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.Buffer.String()
}

type pipes struct {
	io.Reader
	io.WriteCloser
}

// start begins a session with a handbook's folder.
func start(t testing.TB, dir string, encodings ...string) *client {
	t.Helper()
	return startIn(t, dir, nil, encodings...)
}

// startIn begins one in which the client has several folders open.
func startIn(t testing.TB, dir string, folders []string, encodings ...string) *client {
	t.Helper()
	toServer, fromClient := io.Pipe()
	toClient, fromServer := io.Pipe()
	c := &client{
		t: t, dir: dir, in: fromClient, ended: make(chan error, 1), log: &lockedBuffer{},
		texts: map[string]string{}, versions: map[string]int{}, came: make(chan published, 100_000), messages: make(chan string, 10),
	}
	go func() {
		err := language.Serve(t.Context(), toServer, fromServer, language.Options{
			Log: c.log, Open: func(dir string) (language.Judge, error) { return render.Edit(dir) },
		})
		fromServer.Close()
		c.ended <- err
	}()
	c.conn = jsonrpc2.NewConn(t.Context(), jsonrpc2.NewBufferedStream(pipes{toClient, fromClient}, jsonrpc2.VSCodeObjectCodec{}), c)
	var result struct {
		Capabilities struct {
			PositionEncoding string `json:"positionEncoding"`
		} `json:"capabilities"`
	}
	var open []any
	for _, folder := range folders {
		open = append(open, map[string]any{"uri": (&url.URL{Scheme: "file", Path: filepath.ToSlash(folder)}).String(), "name": "a folder"})
	}
	c.call("initialize", map[string]any{
		"rootUri": c.uri(""), "workspaceFolders": open,
		"capabilities": map[string]any{
			"general":   map[string]any{"positionEncodings": encodings},
			"workspace": map[string]any{"workspaceEdit": map[string]any{"documentChanges": true}, "didChangeWatchedFiles": map[string]any{"dynamicRegistration": true}},
		},
	}, &result)
	c.encoding = result.Capabilities.PositionEncoding
	c.notify("initialized", map[string]any{})
	return c
}

// Handle takes what the server tells.
func (c *client) Handle(ctx context.Context, conn *jsonrpc2.Conn, req *jsonrpc2.Request) {
	switch req.Method {
	case "textDocument/publishDiagnostics":
		var p published
		if err := json.Unmarshal(*req.Params, &p); err != nil {
			c.t.Error(err)
		}
		c.came <- p
	case "window/showMessage":
		c.messages <- string(*req.Params)
	case "client/registerCapability":
		go func() { _ = conn.Reply(ctx, req.ID, nil) }() // it waits until the server reads, which may wait for us
	default:
		c.t.Errorf("the server sends %s", req.Method)
	}
}

func (c *client) uri(name string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(c.dir, filepath.FromSlash(name)))}).String()
}

func (c *client) call(method string, params, result any) {
	c.t.Helper()
	if err := c.conn.Call(c.t.Context(), method, params, result); err != nil {
		c.t.Fatalf("%s: %v", method, err)
	}
}

// refused calls what must be refused, and returns why it is.
func (c *client) refused(method string, params any) (int64, string) {
	c.t.Helper()
	var why *jsonrpc2.Error
	if err := c.conn.Call(c.t.Context(), method, params, nil); !errors.As(err, &why) {
		c.t.Fatalf("%s: %v", method, err)
	}
	return why.Code, why.Message
}

func (c *client) notify(method string, params any) {
	c.t.Helper()
	if err := c.conn.Notify(c.t.Context(), method, params); err != nil {
		c.t.Fatal(err)
	}
}

// open opens a document as it lies on the disk, or with a text of its own.
func (c *client) open(name string, own ...string) {
	c.t.Helper()
	text := strings.Join(own, "")
	if own == nil {
		data, err := os.ReadFile(filepath.Join(c.dir, filepath.FromSlash(name)))
		if err != nil {
			c.t.Fatal(err)
		}
		text = string(data)
	}
	c.texts[name], c.versions[name] = text, 1
	c.notify("textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": c.uri(name), "languageId": "markdown", "version": 1, "text": text}})
}

// replace types new in the place of old, which stands once in the document.
func (c *client) replace(name, old, new string) {
	c.t.Helper()
	text := c.texts[name]
	if strings.Count(text, old) != 1 {
		c.t.Fatalf("%q stands %d times in %s", old, strings.Count(text, old), name)
	}
	at := strings.Index(text, old)
	c.versions[name]++
	c.notify("textDocument/didChange", map[string]any{
		"textDocument":   map[string]any{"uri": c.uri(name), "version": c.versions[name]},
		"contentChanges": []any{map[string]any{"range": rang{c.pos(name, at), c.pos(name, at+len(old))}, "text": new}},
	})
	c.texts[name] = text[:at] + new + text[at+len(old):]
}

// pos is the position of an offset, counted as the session counts.
func (c *client) pos(name string, offset int) pos {
	before := c.texts[name][:offset]
	line := strings.Count(before, "\n")
	before = before[strings.LastIndex(before, "\n")+1:]
	if c.encoding == "utf-8" {
		return pos{line, len(before)}
	}
	return pos{line, len(utf16.Encode([]rune(before)))}
}

// at are the parameters of a question about the place behind a text that stands once.
func (c *client) at(name, behind string, more ...any) map[string]any {
	c.t.Helper()
	if n := strings.Count(c.texts[name], behind); n != 1 {
		c.t.Fatalf("%q stands %d times in %s", behind, n, name)
	}
	params := map[string]any{
		"textDocument": map[string]any{"uri": c.uri(name)},
		"position":     c.pos(name, strings.Index(c.texts[name], behind)+len(behind)),
	}
	if len(more) > 0 {
		params["newName"] = more[0]
	}
	return params
}

// remarks waits for what is wrong with a version of a document.
func (c *client) remarks(name string) []diagnostic {
	c.t.Helper()
	for {
		select {
		case p := <-c.came:
			if p.URI == c.uri(name) && (c.versions[name] == 0 || p.Version != nil && *p.Version == c.versions[name]) {
				return p.Diagnostics
			}
		case m := <-c.messages:
			c.t.Fatal(m)
		case err := <-c.ended:
			c.t.Fatalf("the server has ended: %v", err)
		}
	}
}

// labels are the names that complete a place.
func (c *client) labels(name, behind string) string {
	c.t.Helper()
	var list []item
	c.call("textDocument/completion", c.at(name, behind), &list)
	var labels []string
	for _, i := range list {
		labels = append(labels, i.Label)
	}
	return strings.Join(labels, " ")
}

// end ends the session in order.
func (c *client) end() {
	c.t.Helper()
	c.call("shutdown", nil, nil)
	c.notify("exit", nil)
	if err := <-c.ended; err != nil {
		c.t.Error(err)
	}
	if log := c.log.String(); log != "" {
		c.t.Errorf("the log says %s", log)
	}
}

// applied are texts with an edit of several documents.
func (c *client) applied(e workspaceEdit, texts map[string]string) map[string]string {
	c.t.Helper()
	for _, d := range e.DocumentChanges {
		name, err := filepath.Rel(c.dir, strings.TrimPrefix(d.TextDocument.URI, "file://"))
		if err != nil {
			c.t.Fatal(err)
		}
		lines := strings.SplitAfter(texts[name], "\n")
		for i := len(d.Edits) - 1; i >= 0; i-- { // from the end, so that places before it stay
			r := d.Edits[i].Range
			if r.Start.Line != r.End.Line { // whole lines
				if r.Start.Character+r.End.Character > 0 || d.Edits[i].NewText != "" {
					c.t.Fatalf("%v", r)
				}
				clear(lines[r.Start.Line:r.End.Line])
				continue
			}
			units := utf16.Encode([]rune(lines[r.Start.Line]))
			lines[r.Start.Line] = string(utf16.Decode(units[:r.Start.Character])) + d.Edits[i].NewText + string(utf16.Decode(units[r.End.Character:]))
		}
		texts[name] = strings.Join(lines, "")
	}
	return texts
}

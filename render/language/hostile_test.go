package language_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/sourcegraph/jsonrpc2"

	"benchleaf/render"
	"benchleaf/render/language"
)

// Messages out of their order, and what no server knows, are refused, and the session goes on.
func TestDisorder(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md")
	uri := c.uri("en/notes.md")
	change := func(uri string, version int, text string) {
		c.notify("textDocument/didChange", map[string]any{
			"textDocument": map[string]any{"uri": uri, "version": version}, "contentChanges": []any{map[string]any{"text": text}},
		})
	}
	change(uri, 5, "# Five <spec:nobody>\n")
	change(uri, 4, "# Four\n")
	change(c.uri("en/choke.md"), 2, "# Never opened\n")
	c.notify("textDocument/didClose", map[string]any{"textDocument": map[string]any{"uri": c.uri("en/choke.md")}})
	c.notify("textDocument/didChange", []int{1, 2})
	c.notify("textDocument/didChange", map[string]any{"textDocument": map[string]any{"uri": uri, "version": 6}, "contentChanges": []any{
		map[string]any{"range": rang{pos{99, 99}, pos{-5, -5}}, "text": "x"}, // beyond the text, and the wrong way round
		map[string]any{"range": rang{pos{0, 3}, pos{0, 1}}, "text": "y"},
	}})
	c.notify("nobody/knows", map[string]any{})
	c.notify("$/cancelRequest", map[string]any{"id": 999})
	c.versions["en/notes.md"] = 6
	if got := c.remarks("en/notes.md"); !hasCode(got, "reference-unknown") {
		t.Errorf("the fifth version is lost: %v", got)
	}
	// What is open and lies elsewhere, or has no name of a file, is nobody's business.
	for _, uri := range []string{"untitled:Untitled-1", "file:///etc/passwd", c.uri("../other.md"), c.uri("en/.hidden.md"), "::", "", c.uri("en/picture.svg")} {
		c.notify("textDocument/didOpen", map[string]any{"textDocument": map[string]any{"uri": uri, "version": 1, "text": "<spec:nobody>"}})
		var list []location
		c.call("textDocument/definition", map[string]any{"textDocument": map[string]any{"uri": uri}, "position": pos{0, 8}}, &list)
		if len(list) != 0 {
			t.Errorf("%s leads to %v", uri, list)
		}
	}
	for _, p := range []pos{{-1, -1}, {0, 1 << 40}, {1 << 40, 0}, {3, -7}} {
		for _, method := range []string{"completion", "hover", "definition", "references", "documentSymbol", "codeAction"} {
			c.call("textDocument/"+method, map[string]any{"textDocument": map[string]any{"uri": uri}, "position": p}, nil)
		}
	}
	for _, e := range []struct {
		method string
		params any
		code   int64
	}{
		{"nobody/knows", map[string]any{}, jsonrpc2.CodeMethodNotFound},
		{"textDocument/hover", nil, jsonrpc2.CodeInvalidParams},
		{"textDocument/hover", []int{}, jsonrpc2.CodeInvalidParams},
		{"textDocument/hover", map[string]any{"position": "here"}, jsonrpc2.CodeInvalidParams},
		{"initialize", map[string]any{}, jsonrpc2.CodeInvalidRequest},
	} {
		if code, why := c.refused(e.method, e.params); code != e.code {
			t.Errorf("%s: %d %s", e.method, code, why)
		}
	}
	c.call("shutdown", nil, nil)
	if code, _ := c.refused("textDocument/hover", map[string]any{}); code != jsonrpc2.CodeInvalidRequest {
		t.Errorf("after the end: %d", code)
	}
	c.notify("exit", nil)
	if err := <-c.ended; err != nil {
		t.Error(err)
	}
	for _, says := range []string{"version 4 comes after version 5", "it is not open"} {
		if !strings.Contains(c.log.String(), says) {
			t.Errorf("the log is without %q: %s", says, c.log)
		}
	}
	if strings.Contains(c.log.String(), "goroutine") {
		t.Error(c.log)
	}
}

// An editor that goes without a word ends the server, also while it judges.
func TestClientDies(t *testing.T) {
	c := start(t, folder(t))
	c.open("en/notes.md")
	c.in.Close()
	if err := <-c.ended; !errors.Is(err, language.ErrDied) {
		t.Errorf("%v", err)
	}
	c = start(t, folder(t))
	c.notify("exit", nil)
	if err := <-c.ended; !errors.Is(err, language.ErrDied) {
		t.Errorf("an exit without a shutdown: %v", err)
	}
}

// slow is a judge that waits until it may judge.
type slow struct{ may chan struct{} }

func (s slow) Judge(ctx context.Context, _ map[string][]byte) (*language.Judged, error) {
	select {
	case <-s.may:
	case <-ctx.Done():
	}
	return nil, errors.New("no")
}

// raw is a session in bytes.
func raw(t *testing.T, dir string, judge language.Judge, messages ...string) (answers []map[string]any, err error) {
	t.Helper()
	toServer, in := io.Pipe()
	fromServer, out := io.Pipe()
	ended := make(chan error, 1)
	go func() {
		err := language.Serve(t.Context(), toServer, out, language.Options{Dir: dir, Log: io.Discard, Open: func(dir string) (language.Judge, error) {
			if judge != nil {
				return judge, nil
			}
			return render.Edit(dir)
		}})
		out.Close()
		ended <- err
	}()
	go func() {
		for _, m := range messages {
			_, _ = io.WriteString(in, m)
		}
		in.Close()
	}()
	codec, r := jsonrpc2.VSCodeObjectCodec{}, bufio.NewReader(fromServer)
	for {
		var m map[string]any
		if codec.ReadObject(r, &m) != nil {
			return answers, <-ended
		}
		if m["method"] == nil {
			answers = append(answers, m)
		}
	}
}

func framed(body string) string { return fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(body), body) }

func TestBytes(t *testing.T) {
	initialize := framed(`{"jsonrpc":"2.0","id":"a","method":"initialize","params":{}}`)
	end := framed(`{"jsonrpc":"2.0","id":2,"method":"shutdown"}`) + framed(`{"jsonrpc":"2.0","method":"exit"}`)
	for name, e := range map[string]struct {
		bytes string
		codes string // of the answers, in order; 0 is none
		died  bool
	}{
		"in order":              {initialize + end, "0 0", false},
		"no JSON":               {initialize + framed(`{"jsonrpc":`) + end, "0 -32700 0", false},
		"no UTF-8":              {initialize + framed("\xff\xfe") + end, "0 -32700 0", false},
		"no message":            {initialize + framed(`17`) + framed(`{}`) + framed(`[]`) + framed(`null`) + end, "0 -32600 -32600 -32600 -32600 0", false},
		"an id of another sort": {initialize + framed(`{"id":{},"method":"x"}`) + framed(`{"id":1.5,"method":"x"}`) + end, "0 -32600 -32600 0", false},
		"before its time":       {framed(`{"id":1,"method":"shutdown"}`) + initialize + end, "-32002 0 0", false},
		"parameters of no use":  {framed(`{"id":1,"method":"initialize","params":[]}`) + initialize + end, "-32602 0 0", false},
		"another head":          {"Content-Type: x\r\n" + strings.Replace(initialize, "Content-Length", "content-length", 1) + end, "0 0", false},
		"cut off":               {initialize + "Content-Length: 900\r\n\r\n{", "0", true},
		"no head":               {initialize + strings.Repeat("x", 1<<17), "0", true},
		"too long":              {initialize + "Content-Length: 99999999999\r\n\r\n", "0", true},
		"less than nothing":     {initialize + "Content-Length: -4\r\n\r\n", "0", true},
		"an answer to nobody":   {initialize + framed(`{"jsonrpc":"2.0","id":77,"result":null}`) + end, "0 0", false},
		"deep":                  {initialize + framed(`{"id":1,"method":"textDocument/hover","params":`+strings.Repeat("[", 9000)+strings.Repeat("]", 9000)+`}`) + end, "0 -32602 0", false},
	} {
		t.Run(name, func(t *testing.T) {
			answers, err := raw(t, folder(t), nil, e.bytes)
			var codes []string
			for _, a := range answers {
				code := "0"
				if why, ok := a["error"].(map[string]any); ok {
					code = fmt.Sprint(why["code"])
				}
				codes = append(codes, code)
			}
			if got := strings.Join(codes, " "); got != e.codes || errors.Is(err, language.ErrDied) != e.died {
				text, _ := json.Marshal(answers)
				t.Errorf("%s, %v, want %s: %s", got, err, e.codes, text)
			}
		})
	}
}

// A question that is taken back is answered as such, though the judge still judges.
func TestCancel(t *testing.T) {
	question := framed(`{"id":7,"method":"textDocument/hover","params":{"textDocument":{"uri":"file:///x.md"}}}`)
	answers, err := raw(t, folder(t), slow{make(chan struct{})},
		framed(`{"id":1,"method":"initialize","params":{}}`), question, framed(`{"method":"$/cancelRequest","params":{"id":7}}`),
		framed(`{"id":8,"method":"shutdown"}`), framed(`{"method":"exit"}`))
	if err != nil {
		t.Error(err)
	}
	for _, a := range answers {
		if why, ok := a["error"].(map[string]any); ok && fmt.Sprint(a["id"]) == "7" && fmt.Sprint(why["code"]) == "-32800" {
			return
		}
	}
	t.Errorf("%v", answers)
}

// A folder without a handbook is told, and nothing of it is known.
func TestNoHandbook(t *testing.T) {
	c := start(t, t.TempDir())
	if m := <-c.messages; !strings.Contains(m, "there is no handbook.yaml in") {
		t.Error(m)
	}
	c.open("a.md", "<spec:x>")
	if _, why := c.refused("textDocument/hover", c.at("a.md", "<spec")); why != "there is no handbook" {
		t.Error(why)
	}
	c.end()
}

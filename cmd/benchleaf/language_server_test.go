package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sourcegraph/jsonrpc2"
)

// The program that is built serves an editor over its standard streams: completion, hover and
// rename in a copy of the demo, and the end of the session.
func TestLanguageServer(t *testing.T) {
	program := filepath.Join(t.TempDir(), "benchleaf.exe")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "content"), os.DirFS("../../content")); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "language-server", "--stdio")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var log bytes.Buffer
	cmd.Stderr = &log
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	codec, r, id := jsonrpc2.VSCodeObjectCodec{}, bufio.NewReader(out), 0
	send := func(method string, call bool, params any) {
		t.Helper()
		m := map[string]any{"jsonrpc": "2.0", "method": method, "params": params}
		if call {
			id++
			m["id"] = id
		}
		body, err := json.Marshal(m)
		if err == nil {
			_, err = fmt.Fprintf(in, "Content-Length: %d\r\n\r\n%s", len(body), body)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	ask := func(method string, params any) string {
		t.Helper()
		send(method, true, params)
		for {
			var m struct {
				ID     *int            `json:"id"`
				Result json.RawMessage `json:"result"`
				Error  json.RawMessage `json:"error"`
			}
			if err := codec.ReadObject(r, &m); err != nil {
				t.Fatalf("%s: %v; %s", method, err, log.String())
			}
			if m.ID != nil && *m.ID == id {
				return string(m.Result) + string(m.Error)
			}
		}
	}
	uri := func(name string) string {
		return (&url.URL{Scheme: "file", Path: filepath.ToSlash(filepath.Join(dir, name))}).String()
	}
	ask("initialize", map[string]any{"rootUri": uri(""), "capabilities": map[string]any{}})
	send("initialized", false, map[string]any{})
	page := uri("content/en/procedures/new.md")
	text := "See <spec:heater-resistance> and <spec:heater-r>.\n"
	send("textDocument/didOpen", false, map[string]any{"textDocument": map[string]any{"uri": page, "version": 1, "text": text}})
	at := func(character int) map[string]any {
		return map[string]any{"textDocument": map[string]any{"uri": page}, "position": map[string]any{"line": 0, "character": character}, "newName": "coil-ohms"}
	}
	if got := ask("textDocument/completion", at(strings.Index(text, "r>."))); !strings.Contains(got, `"heater-resistance"`) {
		t.Errorf("completion: %s", got)
	}
	if got := ask("textDocument/hover", at(12)); !strings.Contains(got, "Quince 150") || !strings.Contains(got, "Ω") {
		t.Errorf("hover: %s", got)
	}
	var edit struct{ Changes map[string][]any }
	got := ask("textDocument/rename", at(12))
	if err := json.Unmarshal([]byte(got), &edit); err != nil || len(edit.Changes) < 5 || len(edit.Changes[page]) != 1 || edit.Changes[uri("content/circuits/heater.yaml")] == nil {
		t.Errorf("rename: %v; %s", err, got)
	}
	ask("shutdown", nil)
	send("exit", false, nil)
	if err := cmd.Wait(); err != nil || log.Len() > 0 {
		t.Errorf("%v, %s", err, log.String())
	}
}

func TestLanguageServerUsage(t *testing.T) {
	var out, errs bytes.Buffer
	if status := Run([]string{"language-server", "a", "b"}, strings.NewReader(""), &out, &errs); status != statusUsage {
		t.Errorf("status %d, %s", status, errs.String())
	}
	errs.Reset()
	if status := Run([]string{"language-server"}, strings.NewReader(""), &out, &errs); status != statusRemarks || !strings.Contains(errs.String(), "the editor is gone") {
		t.Errorf("status %d, %s", status, errs.String())
	}
}

func TestSchema(t *testing.T) {
	var out, errs bytes.Buffer
	dir := filepath.Join(t.TempDir(), "deep", "schemas")
	if status := Run([]string{"schema", "-out", dir}, nil, &out, &errs); status != statusDone {
		t.Fatalf("status %d, %s", status, errs.String())
	}
	for _, name := range []string{"circuit", "front-matter", "handbook", "models", "parts", "specs", "block-step"} {
		text, err := os.ReadFile(filepath.Join(dir, name+".json"))
		if err != nil || !strings.Contains(string(text), `"$schema": "https://json-schema.org/draft/2020-12/schema"`) || !strings.Contains(out.String(), name+".json: for ") {
			t.Errorf("%s: %v", name, err)
		}
	}
	// A schema that is there is replaced in one step: what has the old file open, or by another name, keeps it whole.
	file, kept := filepath.Join(dir, "specs.json"), filepath.Join(dir, "kept")
	if err := errors.Join(os.WriteFile(file, []byte("old"), 0o644), os.Link(file, kept)); err != nil {
		t.Fatal(err)
	}
	if status := Run([]string{"schema", "-out", dir}, nil, &out, &errs); status != statusDone {
		t.Fatalf("again: status %d, %s", status, errs.String())
	}
	if old, err := os.ReadFile(kept); err != nil || string(old) != "old" {
		t.Errorf("the file itself was written: %v", err)
	}
	if text, err := os.ReadFile(file); err != nil || len(text) < 100 {
		t.Errorf("it was not replaced: %v", err)
	}
	if status := Run([]string{"schema", "-out", filepath.Join(dir, "specs.json")}, nil, &out, &errs); status != statusMachine {
		t.Errorf("a file in the way: %d", status)
	}
}

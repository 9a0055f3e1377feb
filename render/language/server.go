package language

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"sync"

	"github.com/sourcegraph/jsonrpc2"
)

// Options are what a server needs.
type Options struct {
	Dir  string                          // of the handbook, "" for the one in the client's folder
	Open func(dir string) (Judge, error) // opens a handbook
	Log  io.Writer                       // for what is wrong with the session
}

// ErrDied says that the client went without having said so.
var ErrDied = errors.New("the editor is gone without an end of the session")

// Serve serves one client until it ends the session, or is gone.
func Serve(ctx context.Context, in io.Reader, out io.Writer, o Options) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	s := &server{
		options: o, ready: make(chan struct{}), encoding: utf16Encoding, dir: o.Dir, docs: map[string]*doc{}, uris: map[string]string{}, wake: make(chan struct{}, 1),
		news: make(chan struct{}), calls: map[string]context.CancelFunc{}, told: map[string][]diagnostic{}, seen: map[string]seen{},
	}
	stream := &frames{in: bufio.NewReaderSize(in, 1<<16), out: out, close: func() error { return nil }}
	s.conn = jsonrpc2.NewConn(ctx, stream, s, jsonrpc2.SetLogger(logger{s}))
	close(s.ready)
	var working sync.WaitGroup
	working.Go(func() { s.judging(ctx) })
	<-s.conn.DisconnectNotify()
	stop()
	working.Wait()
	if !s.ended {
		return ErrDied
	}
	return nil
}

// logger writes what the connection has to say, until it is closed: an answer that comes then is nobody's.
type logger struct{ *server }

func (l logger) Printf(format string, v ...any) {
	<-l.ready
	select {
	case <-l.conn.DisconnectNotify():
	default:
		fmt.Fprintf(l.options.Log, format, v...)
	}
}

// server is one session. Messages about documents are taken in their order; what is asked
// is answered side by side.
type server struct {
	options Options
	conn    *jsonrpc2.Conn
	ready   chan struct{} // closed once conn is there
	wake    chan struct{} // something has changed

	mu        sync.Mutex
	encoding  encoding
	client    initializeParams
	state     sessionState
	ended     bool // in order
	dir       string
	judge     Judge
	docs      map[string]*doc   // open ones, by address
	uris      map[string]string // of open ones, by path in the handbook
	revision  int               // counts changes
	judged    *judgement        // the last one
	published int               // the revision of which what is wrong was told
	news      chan struct{}     // closed with each judgement that was told
	calls     map[string]context.CancelFunc
	asking    sync.WaitGroup
	told      map[string][]diagnostic // what the client was told last, by file
	seen      map[string]seen
}

type sessionState int

const (
	stateNew sessionState = iota
	stateOpen
	stateShut
)

// doc is an open document.
type doc struct {
	name    string // its path in the handbook, "" for one outside of it
	version int
	text    []byte
}

// Handle implements jsonrpc2.Handler.
func (s *server) Handle(ctx context.Context, conn *jsonrpc2.Conn, req *jsonrpc2.Request) {
	<-s.ready
	defer func() {
		if r := recover(); r != nil {
			s.failed(ctx, req, r)
		}
	}()
	if req.Notif {
		s.notified(ctx, req)
		return
	}
	s.mu.Lock()
	state := s.state
	s.mu.Unlock()
	switch {
	case req.Method == "initialize" && state == stateNew:
		result, err := s.initialize(req)
		s.reply(ctx, req, result, err)
	case state == stateNew:
		s.reply(ctx, req, nil, &jsonrpc2.Error{Code: codeNotInitialized, Message: "the session is not initialized"})
	case state == stateShut, req.Method == "initialize":
		s.reply(ctx, req, nil, &jsonrpc2.Error{Code: jsonrpc2.CodeInvalidRequest, Message: "the session is shut down, or initialized already"})
	case req.Method == "shutdown":
		s.mu.Lock()
		s.state = stateShut
		for _, cancel := range s.calls {
			cancel()
		}
		s.mu.Unlock()
		s.asking.Wait() // each question has its answer
		s.reply(ctx, req, nil, nil)
	default:
		s.ask(ctx, req)
	}
}

// answers are what can be asked of a document.
var answers = map[string]func(*server, context.Context, documentParams) (any, error){
	"textDocument/completion":     (*server).completion,
	"textDocument/hover":          (*server).hover,
	"textDocument/definition":     (*server).definition,
	"textDocument/prepareRename":  (*server).prepareRename,
	"textDocument/rename":         (*server).rename,
	"textDocument/references":     (*server).references,
	"textDocument/codeAction":     (*server).codeAction,
	"textDocument/documentSymbol": (*server).documentSymbols,
	"workspace/symbol":            (*server).workspaceSymbols,
}

// ask answers beside what comes next; the client may take the question back.
func (s *server) ask(ctx context.Context, req *jsonrpc2.Request) {
	answer, known := answers[req.Method]
	if !known {
		s.reply(ctx, req, nil, &jsonrpc2.Error{Code: jsonrpc2.CodeMethodNotFound, Message: "there is no " + req.Method})
		return
	}
	var params documentParams
	if err := read(req, &params); err != nil {
		s.reply(ctx, req, nil, err)
		return
	}
	ctx, cancel := context.WithCancel(ctx)
	id := req.ID.String()
	s.mu.Lock()
	s.calls[id] = cancel
	s.mu.Unlock()
	s.asking.Go(func() {
		defer func() {
			s.mu.Lock()
			delete(s.calls, id)
			s.mu.Unlock()
			cancel()
			if r := recover(); r != nil {
				s.failed(ctx, req, r)
			}
		}()
		result, err := answer(s, ctx, params)
		if ctx.Err() != nil {
			err = &jsonrpc2.Error{Code: codeRequestCancelled, Message: "taken back"}
		}
		s.reply(context.WithoutCancel(ctx), req, result, err)
	})
}

// read reads the parameters of a message.
func read(req *jsonrpc2.Request, into any) error {
	if req.Params == nil {
		return &jsonrpc2.Error{Code: jsonrpc2.CodeInvalidParams, Message: req.Method + " has no parameters"}
	}
	if err := json.Unmarshal(*req.Params, into); err != nil {
		return &jsonrpc2.Error{Code: jsonrpc2.CodeInvalidParams, Message: err.Error()}
	}
	return nil
}

// refuse is the answer to what cannot be done, with the reason.
func refuse(format string, args ...any) error {
	return &jsonrpc2.Error{Code: codeRequestFailed, Message: fmt.Sprintf(format, args...)}
}

func (s *server) reply(ctx context.Context, req *jsonrpc2.Request, result any, err error) {
	var known *jsonrpc2.Error
	switch {
	case errors.As(err, &known):
		err = s.conn.ReplyWithError(ctx, req.ID, known)
	case err != nil:
		err = s.conn.ReplyWithError(ctx, req.ID, &jsonrpc2.Error{Code: jsonrpc2.CodeInternalError, Message: err.Error()})
	default:
		err = s.conn.Reply(ctx, req.ID, result)
	}
	if err != nil && !errors.Is(err, jsonrpc2.ErrClosed) {
		fmt.Fprintln(s.options.Log, err)
	}
}

// failed answers what this program failed at, so that the session goes on.
func (s *server) failed(ctx context.Context, req *jsonrpc2.Request, why any) {
	fmt.Fprintf(s.options.Log, "%s: %v\n%s", req.Method, why, debug.Stack())
	if !req.Notif {
		s.reply(context.WithoutCancel(ctx), req, nil, fmt.Errorf("%v", why))
	}
}

// notified takes what is not answered.
func (s *server) notified(ctx context.Context, req *jsonrpc2.Request) {
	if req.Method == "exit" {
		s.mu.Lock()
		s.ended = s.state == stateShut
		s.mu.Unlock()
		s.conn.Close()
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.state != stateOpen {
		return
	}
	switch req.Method {
	case "initialized":
		if s.client.Capabilities.Workspace.DidChangeWatchedFiles.DynamicRegistration {
			go s.watch(ctx)
		}
	case "$/cancelRequest":
		var params cancelParams
		var id jsonrpc2.ID
		if read(req, &params) == nil && json.Unmarshal(params.ID, &id) == nil {
			if cancel := s.calls[id.String()]; cancel != nil {
				cancel()
			}
		}
	case "workspace/didChangeWatchedFiles", "textDocument/didSave":
		s.changed()
	case "textDocument/didOpen", "textDocument/didChange", "textDocument/didClose":
		var params documentParams
		err := read(req, &params)
		if err == nil {
			err = s.edit(req.Method, params)
		}
		if err != nil {
			fmt.Fprintf(s.options.Log, "%s: %v\n", req.Method, err)
		}
	}
}

// watch asks the client to tell of files that change.
func (s *server) watch(ctx context.Context) {
	_ = s.conn.Call(ctx, "client/registerCapability", registrationParams{[]registration{{
		ID: "files", Method: "workspace/didChangeWatchedFiles", RegisterOptions: json.RawMessage(`{"watchers":[{"globPattern":"**/*"}]}`),
	}}}, nil)
}

func (s *server) initialize(req *jsonrpc2.Request) (result initializeResult, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := read(req, &s.client); err != nil {
		return result, err
	}
	s.state = stateOpen
	for _, e := range s.client.Capabilities.General.PositionEncodings {
		if e == utf8Encoding {
			s.encoding = e
		}
	}
	if err := s.open(); err != nil {
		s.tell(err)
	} else {
		s.changed()
	}
	result.ServerInfo.Name = "benchleaf"
	result.Capabilities = capabilities{
		PositionEncoding:   s.encoding,
		TextDocumentSync:   syncOptions{OpenClose: true, Change: 2, Save: true},
		CompletionProvider: completionOptions{[]string{":", "#", "[", "{", "<", "(", ",", " ", "\""}},
		HoverProvider:      true, DefinitionProvider: true, ReferencesProvider: true, DocumentSymbols: true, WorkspaceSymbols: true,
		CodeActionProvider: codeActionOptions{[]string{"quickfix"}},
		RenameProvider:     renameOptions{true},
	}
	return result, nil
}

// open opens the handbook, and finds the documents in it that are open already.
func (s *server) open() error {
	dir, err := s.find()
	if err != nil {
		return err
	}
	judge, err := s.options.Open(dir)
	if err != nil {
		return err
	}
	s.dir, s.judge = dir, judge
	for uri, d := range s.docs {
		if d.name = s.nameOf(uri); d.name != "" {
			s.uris[d.name] = uri
		}
	}
	return nil
}

// find returns the folder of the handbook: the one that the command line names, else the first of the
// client's that is one, or has one in content.
func (s *server) find() (string, error) {
	if s.dir != "" {
		return filepath.Abs(s.dir)
	}
	roots := []string{s.client.RootPath}
	if s.client.RootURI != "" {
		roots = []string{fileOf(s.client.RootURI)}
	}
	if len(s.client.WorkspaceFolders) > 0 {
		roots = nil
		for _, f := range s.client.WorkspaceFolders {
			roots = append(roots, fileOf(f.URI))
		}
	}
	roots = slices.DeleteFunc(roots, func(root string) bool { return root == "" })
	if len(roots) == 0 {
		return "", errors.New("the editor has no folder open: there is no handbook to help with")
	}
	for _, root := range roots {
		for _, dir := range []string{root, filepath.Join(root, "content")} {
			if _, err := os.Stat(filepath.Join(dir, "handbook.yaml")); err == nil {
				return dir, nil
			}
		}
	}
	return "", fmt.Errorf("there is no handbook.yaml in %s, nor in content there: there is no handbook to help with", strings.Join(roots, ", "))
}

// tell shows the client what is wrong with the machine.
func (s *server) tell(err error) {
	go func() {
		_ = s.conn.Notify(context.Background(), "window/showMessage", showMessageParams{1, "benchleaf: " + err.Error()})
	}()
}

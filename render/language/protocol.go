package language

import "encoding/json"

// The messages of the Language Server Protocol 3.17 that the server takes and gives, as far as it
// takes and gives them.

// encoding is what characters of a position are counted in.
type encoding string

const (
	utf8Encoding  encoding = "utf-8"
	utf16Encoding encoding = "utf-16" // which every client knows
)

type position struct {
	Line      int `json:"line"`
	Character int `json:"character"`
}

type span struct {
	Start position `json:"start"`
	End   position `json:"end"`
}

type location struct {
	URI   string `json:"uri"`
	Range span   `json:"range"`
}

type initializeParams struct {
	RootURI          string   `json:"rootUri"`
	RootPath         string   `json:"rootPath"`
	WorkspaceFolders []folder `json:"workspaceFolders"`
	Capabilities     struct {
		General struct {
			PositionEncodings []encoding `json:"positionEncodings"`
		} `json:"general"`
		Workspace struct {
			WorkspaceEdit struct {
				DocumentChanges bool `json:"documentChanges"`
			} `json:"workspaceEdit"`
			DidChangeWatchedFiles struct {
				DynamicRegistration bool `json:"dynamicRegistration"`
			} `json:"didChangeWatchedFiles"`
		} `json:"workspace"`
	} `json:"capabilities"`
}

type folder struct {
	URI string `json:"uri"`
}

type initializeResult struct {
	Capabilities capabilities `json:"capabilities"`
	ServerInfo   struct {
		Name string `json:"name"`
	} `json:"serverInfo"`
}

type capabilities struct {
	PositionEncoding   encoding          `json:"positionEncoding"`
	TextDocumentSync   syncOptions       `json:"textDocumentSync"`
	CompletionProvider completionOptions `json:"completionProvider"`
	HoverProvider      bool              `json:"hoverProvider"`
	DefinitionProvider bool              `json:"definitionProvider"`
	ReferencesProvider bool              `json:"referencesProvider"`
	DocumentSymbols    bool              `json:"documentSymbolProvider"`
	WorkspaceSymbols   bool              `json:"workspaceSymbolProvider"`
	CodeActionProvider codeActionOptions `json:"codeActionProvider"`
	RenameProvider     renameOptions     `json:"renameProvider"`
}

type syncOptions struct {
	OpenClose bool `json:"openClose"`
	Change    int  `json:"change"` // 2: what has changed
	Save      bool `json:"save"`
}

type completionOptions struct {
	TriggerCharacters []string `json:"triggerCharacters"`
}

type codeActionOptions struct {
	CodeActionKinds []string `json:"codeActionKinds"`
}

type renameOptions struct {
	PrepareProvider bool `json:"prepareProvider"`
}

type document struct {
	URI     string `json:"uri"`
	Version int    `json:"version"`
	Text    string `json:"text"`
}

// documentParams are those of all that is asked or told of one document, or of all.
type documentParams struct {
	TextDocument   document `json:"textDocument"`
	Position       position `json:"position"`
	Range          span     `json:"range"`
	NewName        string   `json:"newName"`
	Query          string   `json:"query"`
	ContentChanges []change `json:"contentChanges"`
	Context        struct {
		IncludeDeclaration bool `json:"includeDeclaration"`
	} `json:"context"`
}

// change puts a text in the place of a span, or of all.
type change struct {
	Range *span  `json:"range"`
	Text  string `json:"text"`
}

type diagnosticsParams struct {
	URI         string       `json:"uri"`
	Version     *int         `json:"version,omitempty"`
	Diagnostics []diagnostic `json:"diagnostics"`
}

type diagnostic struct {
	Range    span   `json:"range"`
	Severity int    `json:"severity"` // 1 error, 2 warning, 3 information
	Code     string `json:"code"`
	Source   string `json:"source"`
	Message  string `json:"message"`
}

type completionItem struct {
	Label    string   `json:"label"`
	Kind     int      `json:"kind"`
	Detail   string   `json:"detail,omitempty"`
	TextEdit textEdit `json:"textEdit"`
}

type textEdit struct {
	Range   span   `json:"range"`
	NewText string `json:"newText"`
}

type hover struct {
	Contents markup `json:"contents"`
	Range    span   `json:"range"`
}

type markup struct {
	Kind  string `json:"kind"`
	Value string `json:"value"`
}

// renamable is what a name is that may be another.
type renamable struct {
	Range       span   `json:"range"`
	Placeholder string `json:"placeholder"`
}

// workspaceEdit has its edits by document, with versions where the client knows those.
type workspaceEdit struct {
	Changes         map[string][]textEdit `json:"changes,omitempty"`
	DocumentChanges []documentEdit        `json:"documentChanges,omitempty"`
}

type documentEdit struct {
	TextDocument struct {
		URI     string `json:"uri"`
		Version *int   `json:"version"` // null for what is not open
	} `json:"textDocument"`
	Edits []textEdit `json:"edits"`
}

type codeAction struct {
	Title       string        `json:"title"`
	Kind        string        `json:"kind"`
	Diagnostics []diagnostic  `json:"diagnostics"`
	IsPreferred bool          `json:"isPreferred"`
	Edit        workspaceEdit `json:"edit"`
}

// documentSymbol is what a document defines; symbol the same among all.
type documentSymbol struct {
	Name           string `json:"name"`
	Detail         string `json:"detail"`
	Kind           int    `json:"kind"`
	Range          span   `json:"range"`
	SelectionRange span   `json:"selectionRange"`
}

type symbol struct {
	Name          string   `json:"name"`
	Kind          int      `json:"kind"`
	ContainerName string   `json:"containerName"`
	Location      location `json:"location"`
}

type showMessageParams struct {
	Type    int    `json:"type"` // 1 error
	Message string `json:"message"`
}

type registrationParams struct {
	Registrations []registration `json:"registrations"`
}

type registration struct {
	ID              string          `json:"id"`
	Method          string          `json:"method"`
	RegisterOptions json.RawMessage `json:"registerOptions"`
}

type cancelParams struct {
	ID json.RawMessage `json:"id"`
}

// Errors of the protocol beside those of JSON-RPC.
const (
	codeNotInitialized   = -32002
	codeRequestFailed    = -32803
	codeRequestCancelled = -32800
)

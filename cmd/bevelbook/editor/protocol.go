package editor

import "encoding/json"

// The shapes of LSP 3.17 that are used here, under the names of its specification; fields that nothing
// here reads or writes are left out.
type (
	// Position counts lines from 0, and in a line the units of the encoding that was agreed on.
	Position struct {
		Line      uint32 `json:"line"`
		Character uint32 `json:"character"`
	}
	// Range goes up to, not including, its End.
	Range struct {
		Start Position `json:"start"`
		End   Position `json:"end"`
	}
	// Location is a range of a document.
	Location struct {
		URI   string `json:"uri"`
		Range Range  `json:"range"`
	}
	// TextEdit puts NewText in the place of a range.
	TextEdit struct {
		Range   Range  `json:"range"`
		NewText string `json:"newText"`
	}
	// MarkupContent is text, or Markdown where the client takes it.
	MarkupContent struct {
		Kind  string `json:"kind"`
		Value string `json:"value"`
	}
	// Command is carried out by the server when the client sends it back.
	Command struct {
		Title     string `json:"title"`
		Command   string `json:"command"`
		Arguments []any  `json:"arguments,omitempty"`
	}

	documentID struct {
		URI string `json:"uri"`
	}
	// positionParams are what most requests about a place bring.
	positionParams struct {
		TextDocument documentID `json:"textDocument"`
		Position     Position   `json:"position"`
	}
	documentParams struct {
		TextDocument documentID `json:"textDocument"`
	}
	rangeParams struct {
		TextDocument documentID `json:"textDocument"`
		Range        Range      `json:"range"`
	}
)

// initializeParams are what the client says of itself.
type initializeParams struct {
	RootURI          string            `json:"rootUri"`
	WorkspaceFolders []workspaceFolder `json:"workspaceFolders"`
	Capabilities     struct {
		General struct {
			PositionEncodings []string `json:"positionEncodings"`
		} `json:"general"`
		Workspace struct {
			WorkspaceEdit struct {
				DocumentChanges bool `json:"documentChanges"`
			} `json:"workspaceEdit"`
			DidChangeWatchedFiles struct {
				DynamicRegistration bool `json:"dynamicRegistration"`
			} `json:"didChangeWatchedFiles"`
			CodeLens  refreshes `json:"codeLens"`
			InlayHint refreshes `json:"inlayHint"`
		} `json:"workspace"`
		TextDocument struct {
			Hover struct {
				ContentFormat []string `json:"contentFormat"`
			} `json:"hover"`
			Completion struct {
				CompletionItem struct {
					SnippetSupport      bool     `json:"snippetSupport"`
					DocumentationFormat []string `json:"documentationFormat"`
				} `json:"completionItem"`
			} `json:"completion"`
			DocumentSymbol struct {
				Hierarchical bool `json:"hierarchicalDocumentSymbolSupport"`
			} `json:"documentSymbol"`
			PublishDiagnostics struct {
				RelatedInformation bool `json:"relatedInformation"`
				VersionSupport     bool `json:"versionSupport"`
				TagSupport         struct {
					ValueSet []int `json:"valueSet"`
				} `json:"tagSupport"`
			} `json:"publishDiagnostics"`
			InlayHint *struct{} `json:"inlayHint"`
			Rename    struct {
				PrepareSupport bool `json:"prepareSupport"`
			} `json:"rename"`
		} `json:"textDocument"`
	} `json:"capabilities"`
}

type refreshes struct {
	RefreshSupport bool `json:"refreshSupport"`
}

type workspaceFolder struct {
	URI string `json:"uri"`
}

// What the client tells of its documents and of the disk.
type (
	didOpenParams struct {
		TextDocument struct {
			URI     string `json:"uri"`
			Version int    `json:"version"`
			Text    string `json:"text"`
		} `json:"textDocument"`
	}
	didChangeParams struct {
		TextDocument struct {
			URI     string `json:"uri"`
			Version int    `json:"version"`
		} `json:"textDocument"`
		ContentChanges []contentChange `json:"contentChanges"`
	}
	// contentChange is new text for a range, or without one for the whole document.
	contentChange struct {
		Range *Range `json:"range"`
		Text  string `json:"text"`
	}
	didChangeWatchedFilesParams struct {
		Changes []struct {
			URI string `json:"uri"`
		} `json:"changes"`
	}
	didChangeFoldersParams struct {
		Event struct {
			Added   []workspaceFolder `json:"added"`
			Removed []workspaceFolder `json:"removed"`
		} `json:"event"`
	}
)

// Diagnostics.
type (
	// Diagnostic is one finding.
	Diagnostic struct {
		Range    Range         `json:"range"`
		Severity int           `json:"severity"`
		Code     string        `json:"code"`
		Source   string        `json:"source"`
		Message  string        `json:"message"`
		Tags     []int         `json:"tags,omitempty"`
		Related  []relatedInfo `json:"relatedInformation,omitempty"`
	}
	relatedInfo struct {
		Location Location `json:"location"`
		Message  string   `json:"message"`
	}
	publishDiagnosticsParams struct {
		URI         string       `json:"uri"`
		Version     *int         `json:"version,omitempty"`
		Diagnostics []Diagnostic `json:"diagnostics"`
	}
)

// Answers.
type (
	// Hover is what is shown of a place.
	Hover struct {
		Contents MarkupContent `json:"contents"`
		Range    *Range        `json:"range,omitempty"`
	}
	completionList struct {
		IsIncomplete bool             `json:"isIncomplete"`
		Items        []completionItem `json:"items"`
	}
	completionItem struct {
		Label            string         `json:"label"`
		Kind             int            `json:"kind,omitempty"`
		Detail           string         `json:"detail,omitempty"`
		Documentation    *MarkupContent `json:"documentation,omitempty"`
		SortText         string         `json:"sortText,omitempty"`
		FilterText       string         `json:"filterText,omitempty"`
		InsertTextFormat int            `json:"insertTextFormat,omitempty"`
		TextEdit         *TextEdit      `json:"textEdit,omitempty"`
	}
	workspaceEdit struct {
		Changes         map[string][]TextEdit `json:"changes,omitempty"`
		DocumentChanges []textDocumentEdit    `json:"documentChanges,omitempty"`
	}
	textDocumentEdit struct {
		TextDocument versionedID `json:"textDocument"`
		Edits        []TextEdit  `json:"edits"`
	}
	// versionedID names a document; Version is null for one that is not open.
	versionedID struct {
		URI     string `json:"uri"`
		Version *int   `json:"version"`
	}
	documentSymbol struct {
		Name           string           `json:"name"`
		Detail         string           `json:"detail,omitempty"`
		Kind           int              `json:"kind"`
		Range          Range            `json:"range"`
		SelectionRange Range            `json:"selectionRange"`
		Children       []documentSymbol `json:"children,omitempty"`
	}
	symbolInformation struct {
		Name          string   `json:"name"`
		Kind          int      `json:"kind"`
		Location      Location `json:"location"`
		ContainerName string   `json:"containerName,omitempty"`
	}
	documentHighlight struct {
		Range Range `json:"range"`
		Kind  int   `json:"kind"`
	}
	codeLens struct {
		Range   Range    `json:"range"`
		Command *Command `json:"command,omitempty"`
	}
	inlayHint struct {
		Position    Position `json:"position"`
		Label       string   `json:"label"`
		PaddingLeft bool     `json:"paddingLeft,omitempty"`
	}
	documentLink struct {
		Range  Range  `json:"range"`
		Target string `json:"target"`
	}
	signatureHelp struct {
		Signatures []signatureInfo `json:"signatures"`
		Active     int             `json:"activeParameter"`
	}
	signatureInfo struct {
		Label         string          `json:"label"`
		Documentation string          `json:"documentation,omitempty"`
		Parameters    []parameterInfo `json:"parameters,omitempty"`
	}
	parameterInfo struct {
		Label string `json:"label"`
	}
	foldingRange struct {
		StartLine uint32 `json:"startLine"`
		EndLine   uint32 `json:"endLine"`
		Kind      string `json:"kind,omitempty"`
	}
)

// Requests with parameters of their own.
type (
	referenceParams struct {
		positionParams
		Context struct {
			IncludeDeclaration bool `json:"includeDeclaration"`
		} `json:"context"`
	}
	renameParams struct {
		positionParams
		NewName string `json:"newName"`
	}
	workspaceSymbolParams struct {
		Query string `json:"query"`
	}
	executeParams struct {
		Command   string            `json:"command"`
		Arguments []json.RawMessage `json:"arguments"`
	}
)

// Numbers of the specification.
const (
	severityError, severityWarning, severityInformation, severityHint = 1, 2, 3, 4

	tagUnnecessary = 1

	itemFunction, itemField, itemVariable, itemModule, itemProperty, itemUnit = 3, 5, 6, 9, 10, 11
	itemEnumMember, itemStruct, itemKeyword, itemSnippet                      = 20, 22, 14, 15

	symbolModule, symbolProperty, symbolVariable, symbolString, symbolStruct = 2, 7, 13, 15, 23

	formatPlain, formatSnippet = 1, 2

	messageError, messageInfo = 1, 3

	highlightRead, highlightWrite = 2, 3
)

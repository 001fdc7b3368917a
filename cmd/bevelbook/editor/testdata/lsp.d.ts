// Type declarations of the Language Server Protocol 3.17, from the npm packages
// vscode-languageserver-types 3.17.5 and vscode-languageserver-protocol 3.17.5, remarks and all that
// the tests here do not ask for left out. Their licence:
//
// Copyright (c) Microsoft Corporation
//
// All rights reserved.
//
// MIT License
//
// Permission is hereby granted, free of charge, to any person obtaining a copy of this software and associated documentation files (the "Software"), to deal in the Software without restriction, including without limitation the rights to use, copy, modify, merge, publish, distribute, sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is furnished to do so, subject to the following conditions:
//
// The above copyright notice and this permission notice shall be included in all copies or substantial portions of the Software.
//
// THE SOFTWARE IS PROVIDED *AS IS*, WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.

export interface AnnotatedTextEdit extends TextEdit {
    annotationId: ChangeAnnotationIdentifier;
}
export interface BaseSymbolInformation {
    name: string;
    kind: SymbolKind;
    tags?: SymbolTag[];
    containerName?: string;
}
export interface CallHierarchyOptions extends WorkDoneProgressOptions {
}
export interface CallHierarchyRegistrationOptions extends TextDocumentRegistrationOptions, CallHierarchyOptions, StaticRegistrationOptions {
}
export interface ChangeAnnotation {
    label: string;
    needsConfirmation?: boolean;
    description?: string;
}
export type ChangeAnnotationIdentifier = string;
export type CodeActionKind = string;
export interface CodeActionOptions extends WorkDoneProgressOptions {
    codeActionKinds?: CodeActionKind[];
    resolveProvider?: boolean;
}
export interface CodeDescription {
    href: URI;
}
export interface CodeLens {
    range: Range;
    command?: Command;
    data?: LSPAny;
}
export interface CodeLensOptions extends WorkDoneProgressOptions {
    resolveProvider?: boolean;
}
export interface Command {
    title: string;
    command: string;
    arguments?: LSPAny[];
}
export interface CompletionItem {
    label: string;
    labelDetails?: CompletionItemLabelDetails;
    kind?: CompletionItemKind;
    tags?: CompletionItemTag[];
    detail?: string;
    documentation?: string | MarkupContent;
    deprecated?: boolean;
    preselect?: boolean;
    sortText?: string;
    filterText?: string;
    insertText?: string;
    insertTextFormat?: InsertTextFormat;
    insertTextMode?: InsertTextMode;
    textEdit?: TextEdit | InsertReplaceEdit;
    textEditText?: string;
    additionalTextEdits?: TextEdit[];
    commitCharacters?: string[];
    command?: Command;
    data?: LSPAny;
}
export type CompletionItemKind = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15 | 16 | 17 | 18 | 19 | 20 | 21 | 22 | 23 | 24 | 25;
export interface CompletionItemLabelDetails {
    detail?: string;
    description?: string;
}
export type CompletionItemTag = 1;
export interface CompletionList {
    isIncomplete: boolean;
    itemDefaults?: {
        commitCharacters?: string[];
        editRange?: Range | {
            insert: Range;
            replace: Range;
        };
        insertTextFormat?: InsertTextFormat;
        insertTextMode?: InsertTextMode;
        data?: LSPAny;
    };
    items: CompletionItem[];
}
export interface CompletionOptions extends WorkDoneProgressOptions {
    triggerCharacters?: string[];
    allCommitCharacters?: string[];
    resolveProvider?: boolean;
    completionItem?: {
        labelDetailsSupport?: boolean;
    };
}
export interface CreateFile extends ResourceOperation {
    kind: 'create';
    uri: DocumentUri;
    options?: CreateFileOptions;
}
export interface CreateFileOptions {
    overwrite?: boolean;
    ignoreIfExists?: boolean;
}
export interface DeclarationOptions extends WorkDoneProgressOptions {
}
export interface DeclarationRegistrationOptions extends DeclarationOptions, TextDocumentRegistrationOptions, StaticRegistrationOptions {
}
export interface DefinitionOptions extends WorkDoneProgressOptions {
}
export interface DeleteFile extends ResourceOperation {
    kind: 'delete';
    uri: DocumentUri;
    options?: DeleteFileOptions;
}
export interface DeleteFileOptions {
    recursive?: boolean;
    ignoreIfNotExists?: boolean;
}
export interface Diagnostic {
    range: Range;
    severity?: DiagnosticSeverity;
    code?: integer | string;
    codeDescription?: CodeDescription;
    source?: string;
    message: string;
    tags?: DiagnosticTag[];
    relatedInformation?: DiagnosticRelatedInformation[];
    data?: LSPAny;
}
export type DiagnosticOptions = WorkDoneProgressOptions & {
    identifier?: string;
    interFileDependencies: boolean;
    workspaceDiagnostics: boolean;
};
export type DiagnosticRegistrationOptions = TextDocumentRegistrationOptions & DiagnosticOptions & StaticRegistrationOptions;
export interface DiagnosticRelatedInformation {
    location: Location;
    message: string;
}
export type DiagnosticSeverity = 1 | 2 | 3 | 4;
export type DiagnosticTag = 1 | 2;
export interface DidChangeWatchedFilesRegistrationOptions {
    watchers: FileSystemWatcher[];
}
export interface DocumentColorOptions extends WorkDoneProgressOptions {
}
export interface DocumentColorRegistrationOptions extends TextDocumentRegistrationOptions, StaticRegistrationOptions, DocumentColorOptions {
}
export type DocumentFilter = TextDocumentFilter | NotebookCellTextDocumentFilter;
export interface DocumentFormattingOptions extends WorkDoneProgressOptions {
}
export interface DocumentHighlight {
    range: Range;
    kind?: DocumentHighlightKind;
}
export type DocumentHighlightKind = 1 | 2 | 3;
export interface DocumentHighlightOptions extends WorkDoneProgressOptions {
}
export interface DocumentLink {
    range: Range;
    target?: URI;
    tooltip?: string;
    data?: LSPAny;
}
export interface DocumentLinkOptions extends WorkDoneProgressOptions {
    resolveProvider?: boolean;
}
export interface DocumentOnTypeFormattingOptions {
    firstTriggerCharacter: string;
    moreTriggerCharacter?: string[];
}
export interface DocumentRangeFormattingOptions extends WorkDoneProgressOptions {
    rangesSupport?: boolean;
}
export type DocumentSelector = (string | DocumentFilter)[];
export interface DocumentSymbol {
    name: string;
    detail?: string;
    kind: SymbolKind;
    tags?: SymbolTag[];
    deprecated?: boolean;
    range: Range;
    selectionRange: Range;
    children?: DocumentSymbol[];
}
export interface DocumentSymbolOptions extends WorkDoneProgressOptions {
    label?: string;
}
export type DocumentUri = string;
export interface ExecuteCommandOptions extends WorkDoneProgressOptions {
    commands: string[];
}
export interface FileOperationFilter {
    scheme?: string;
    pattern: FileOperationPattern;
}
export interface FileOperationOptions {
    didCreate?: FileOperationRegistrationOptions;
    willCreate?: FileOperationRegistrationOptions;
    didRename?: FileOperationRegistrationOptions;
    willRename?: FileOperationRegistrationOptions;
    didDelete?: FileOperationRegistrationOptions;
    willDelete?: FileOperationRegistrationOptions;
}
export interface FileOperationRegistrationOptions {
    filters: FileOperationFilter[];
}
export interface FileSystemWatcher {
    globPattern: GlobPattern;
    kind?: WatchKind;
}
export interface FoldingRange {
    startLine: uinteger;
    startCharacter?: uinteger;
    endLine: uinteger;
    endCharacter?: uinteger;
    kind?: FoldingRangeKind;
    collapsedText?: string;
}
export type FoldingRangeKind = string;
export interface FoldingRangeOptions extends WorkDoneProgressOptions {
}
export interface FoldingRangeRegistrationOptions extends TextDocumentRegistrationOptions, FoldingRangeOptions, StaticRegistrationOptions {
}
export type GlobPattern = Pattern | RelativePattern;
export interface Hover {
    contents: MarkupContent | MarkedString | MarkedString[];
    range?: Range;
}
export interface HoverOptions extends WorkDoneProgressOptions {
}
export interface ImplementationOptions extends WorkDoneProgressOptions {
}
export interface ImplementationRegistrationOptions extends TextDocumentRegistrationOptions, ImplementationOptions, StaticRegistrationOptions {
}
export interface InitializeResult<T = any> {
    capabilities: ServerCapabilities<T>;
    serverInfo?: {
        name: string;
        version?: string;
    };
    [custom: string]: LSPAny | ServerCapabilities<T> | undefined; 
}
export type InlayHint = {
    position: Position;
    label: string | InlayHintLabelPart[];
    kind?: InlayHintKind;
    textEdits?: TextEdit[];
    tooltip?: string | MarkupContent;
    paddingLeft?: boolean;
    paddingRight?: boolean;
    data?: LSPAny;
};
export type InlayHintKind = 1 | 2;
export type InlayHintLabelPart = {
    value: string;
    tooltip?: string | MarkupContent;
    location?: Location;
    command?: Command;
};
export type InlayHintOptions = WorkDoneProgressOptions & {
    resolveProvider?: boolean;
};
export type InlayHintRegistrationOptions = InlayHintOptions & TextDocumentRegistrationOptions & StaticRegistrationOptions;
export type InlineCompletionOptions = WorkDoneProgressOptions;
export type InlineValueOptions = WorkDoneProgressOptions;
export type InlineValueRegistrationOptions = InlineValueOptions & TextDocumentRegistrationOptions & StaticRegistrationOptions;
export interface InsertReplaceEdit {
    newText: string;
    insert: Range;
    replace: Range;
}
export type InsertTextFormat = 1 | 2;
export type InsertTextMode = 1 | 2;
export type LSPAny = any;
export interface LinkedEditingRangeOptions extends WorkDoneProgressOptions {
}
export interface LinkedEditingRangeRegistrationOptions extends TextDocumentRegistrationOptions, LinkedEditingRangeOptions, StaticRegistrationOptions {
}
export interface Location {
    uri: DocumentUri;
    range: Range;
}
export type MarkedString = string | {
    language: string;
    value: string;
};
export interface MarkupContent {
    kind: MarkupKind;
    value: string;
}
export type MarkupKind = 'plaintext' | 'markdown';
export type MessageType = 1 | 2 | 3 | 4 | 5;
export interface MonikerOptions extends WorkDoneProgressOptions {
}
export interface MonikerRegistrationOptions extends TextDocumentRegistrationOptions, MonikerOptions {
}
export type NotebookCellTextDocumentFilter = {
    notebook: string | NotebookDocumentFilter;
    language?: string;
};
export type NotebookDocumentFilter = {
    notebookType: string;
    scheme?: string;
    pattern?: string;
} | {
    notebookType?: string;
    scheme: string;
    pattern?: string;
} | {
    notebookType?: string;
    scheme?: string;
    pattern: string;
};
export type NotebookDocumentSyncOptions = {
    notebookSelector: ({
        notebook: string | NotebookDocumentFilter;
        cells?: {
            language: string;
        }[];
    } | {
        notebook?: string | NotebookDocumentFilter;
        cells: {
            language: string;
        }[];
    })[];
    save?: boolean;
};
export type NotebookDocumentSyncRegistrationOptions = NotebookDocumentSyncOptions & StaticRegistrationOptions;
export interface OptionalVersionedTextDocumentIdentifier extends TextDocumentIdentifier {
    version: integer | null;
}
export interface ParameterInformation {
    label: string | [uinteger, uinteger];
    documentation?: string | MarkupContent;
}
export type Pattern = string;
export interface Position {
    line: uinteger;
    character: uinteger;
}
export type PositionEncodingKind = string;
export interface PublishDiagnosticsParams {
    uri: DocumentUri;
    version?: integer;
    diagnostics: Diagnostic[];
}
export interface Range {
    start: Position;
    end: Position;
}
export interface ReferenceOptions extends WorkDoneProgressOptions {
}
export interface Registration {
    id: string;
    method: string;
    registerOptions?: LSPAny;
}
export interface RegistrationParams {
    registrations: Registration[];
}
export interface RelativePattern {
    baseUri: WorkspaceFolder | URI;
    pattern: Pattern;
}
export interface RenameFile extends ResourceOperation {
    kind: 'rename';
    oldUri: DocumentUri;
    newUri: DocumentUri;
    options?: RenameFileOptions;
}
export interface RenameFileOptions {
    overwrite?: boolean;
    ignoreIfExists?: boolean;
}
export interface RenameOptions extends WorkDoneProgressOptions {
    prepareProvider?: boolean;
}
export interface SaveOptions {
    includeText?: boolean;
}
export interface SelectionRangeOptions extends WorkDoneProgressOptions {
}
export interface SelectionRangeRegistrationOptions extends SelectionRangeOptions, TextDocumentRegistrationOptions, StaticRegistrationOptions {
}
export interface SemanticTokensLegend {
    tokenTypes: string[];
    tokenModifiers: string[];
}
export interface SemanticTokensOptions extends WorkDoneProgressOptions {
    legend: SemanticTokensLegend;
    range?: boolean | {};
    full?: boolean | {
        delta?: boolean;
    };
}
export interface SemanticTokensRegistrationOptions extends TextDocumentRegistrationOptions, SemanticTokensOptions, StaticRegistrationOptions {
}
export interface ServerCapabilities<T = LSPAny> {
    positionEncoding?: PositionEncodingKind;
    textDocumentSync?: TextDocumentSyncOptions | TextDocumentSyncKind;
    notebookDocumentSync?: NotebookDocumentSyncOptions | NotebookDocumentSyncRegistrationOptions;
    completionProvider?: CompletionOptions;
    hoverProvider?: boolean | HoverOptions;
    signatureHelpProvider?: SignatureHelpOptions;
    declarationProvider?: boolean | DeclarationOptions | DeclarationRegistrationOptions;
    definitionProvider?: boolean | DefinitionOptions;
    typeDefinitionProvider?: boolean | TypeDefinitionOptions | TypeDefinitionRegistrationOptions;
    implementationProvider?: boolean | ImplementationOptions | ImplementationRegistrationOptions;
    referencesProvider?: boolean | ReferenceOptions;
    documentHighlightProvider?: boolean | DocumentHighlightOptions;
    documentSymbolProvider?: boolean | DocumentSymbolOptions;
    codeActionProvider?: boolean | CodeActionOptions;
    codeLensProvider?: CodeLensOptions;
    documentLinkProvider?: DocumentLinkOptions;
    colorProvider?: boolean | DocumentColorOptions | DocumentColorRegistrationOptions;
    workspaceSymbolProvider?: boolean | WorkspaceSymbolOptions;
    documentFormattingProvider?: boolean | DocumentFormattingOptions;
    documentRangeFormattingProvider?: boolean | DocumentRangeFormattingOptions;
    documentOnTypeFormattingProvider?: DocumentOnTypeFormattingOptions;
    renameProvider?: boolean | RenameOptions;
    foldingRangeProvider?: boolean | FoldingRangeOptions | FoldingRangeRegistrationOptions;
    selectionRangeProvider?: boolean | SelectionRangeOptions | SelectionRangeRegistrationOptions;
    executeCommandProvider?: ExecuteCommandOptions;
    callHierarchyProvider?: boolean | CallHierarchyOptions | CallHierarchyRegistrationOptions;
    linkedEditingRangeProvider?: boolean | LinkedEditingRangeOptions | LinkedEditingRangeRegistrationOptions;
    semanticTokensProvider?: SemanticTokensOptions | SemanticTokensRegistrationOptions;
    monikerProvider?: boolean | MonikerOptions | MonikerRegistrationOptions;
    typeHierarchyProvider?: boolean | TypeHierarchyOptions | TypeHierarchyRegistrationOptions;
    inlineValueProvider?: boolean | InlineValueOptions | InlineValueRegistrationOptions;
    inlayHintProvider?: boolean | InlayHintOptions | InlayHintRegistrationOptions;
    diagnosticProvider?: DiagnosticOptions | DiagnosticRegistrationOptions;
    inlineCompletionProvider?: boolean | InlineCompletionOptions;
    workspace?: {
        workspaceFolders?: WorkspaceFoldersServerCapabilities;
        fileOperations?: FileOperationOptions;
    };
    experimental?: T;
}
export interface ShowMessageParams {
    type: MessageType;
    message: string;
}
export interface SignatureHelp {
    signatures: SignatureInformation[];
    activeSignature?: uinteger;
    activeParameter?: uinteger;
}
export interface SignatureHelpOptions extends WorkDoneProgressOptions {
    triggerCharacters?: string[];
    retriggerCharacters?: string[];
}
export interface SignatureInformation {
    label: string;
    documentation?: string | MarkupContent;
    parameters?: ParameterInformation[];
    activeParameter?: uinteger;
}
export interface StaticRegistrationOptions {
    id?: string;
}
export interface SymbolInformation extends BaseSymbolInformation {
    deprecated?: boolean;
    location: Location;
}
export type SymbolKind = 1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9 | 10 | 11 | 12 | 13 | 14 | 15 | 16 | 17 | 18 | 19 | 20 | 21 | 22 | 23 | 24 | 25 | 26;
export type SymbolTag = 1;
export interface TextDocumentEdit {
    textDocument: OptionalVersionedTextDocumentIdentifier;
    edits: (TextEdit | AnnotatedTextEdit)[];
}
export type TextDocumentFilter = {
    language: string;
    scheme?: string;
    pattern?: string;
} | {
    language?: string;
    scheme: string;
    pattern?: string;
} | {
    language?: string;
    scheme?: string;
    pattern: string;
};
export interface TextDocumentIdentifier {
    uri: DocumentUri;
}
export interface TextDocumentRegistrationOptions {
    documentSelector: DocumentSelector | null;
}
export type TextDocumentSyncKind = 0 | 1 | 2;
export interface TextDocumentSyncOptions {
    openClose?: boolean;
    change?: TextDocumentSyncKind;
    willSave?: boolean;
    willSaveWaitUntil?: boolean;
    save?: boolean | SaveOptions;
}
export interface TextEdit {
    range: Range;
    newText: string;
}
export interface TypeDefinitionOptions extends WorkDoneProgressOptions {
}
export interface TypeDefinitionRegistrationOptions extends TextDocumentRegistrationOptions, TypeDefinitionOptions, StaticRegistrationOptions {
}
export type TypeHierarchyOptions = WorkDoneProgressOptions;
export type TypeHierarchyRegistrationOptions = TextDocumentRegistrationOptions & TypeHierarchyOptions & StaticRegistrationOptions;
export type URI = string;
export type WatchKind = uinteger;
export interface WorkDoneProgressOptions {
    workDoneProgress?: boolean;
}
export interface WorkspaceEdit {
    changes?: {
        [uri: DocumentUri]: TextEdit[];
    };
    documentChanges?: (TextDocumentEdit | CreateFile | RenameFile | DeleteFile)[];
    changeAnnotations?: {
        [id: ChangeAnnotationIdentifier]: ChangeAnnotation;
    };
}
export interface WorkspaceFolder {
    uri: URI;
    name: string;
}
export interface WorkspaceFoldersServerCapabilities {
    supported?: boolean;
    changeNotifications?: string | boolean;
}
export interface WorkspaceSymbolOptions extends WorkDoneProgressOptions {
    resolveProvider?: boolean;
}

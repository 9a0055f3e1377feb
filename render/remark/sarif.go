package remark

import (
	"io"
	"net/url"
	"slices"
	"strings"
	"unicode/utf16"
)

// The objects of SARIF 2.1.0, the Static Analysis Results Interchange Format of OASIS
// (with Errata 01), and those of their properties that a list of remarks has something for.
type (
	sarifLog struct {
		Version string     `json:"version"`
		Schema  string     `json:"$schema"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool       sarifTool     `json:"tool"`
		Language   string        `json:"language"`
		ColumnKind string        `json:"columnKind"`
		Results    []sarifResult `json:"results"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID      string    `json:"id"`
		About   sarifText `json:"fullDescription"`
		Help    sarifText `json:"help"`
		Default struct {
			Enabled bool   `json:"enabled"`
			Level   string `json:"level"`
		} `json:"defaultConfiguration"`
	}
	sarifText struct {
		Text string `json:"text"`
	}
	sarifResult struct {
		Rule      string          `json:"ruleId"`
		Index     int             `json:"ruleIndex"`
		Level     string          `json:"level"`
		Message   sarifText       `json:"message"`
		Locations []sarifLocation `json:"locations"`
		Allowed   []sarifAllowed  `json:"suppressions"`
	}
	sarifAllowed struct {
		Kind   string `json:"kind"`
		Reason string `json:"justification"`
	}
	sarifLocation struct {
		Physical sarifPlace `json:"physicalLocation"`
	}
	sarifPlace struct {
		File   sarifFile    `json:"artifactLocation"`
		Region *sarifRegion `json:"region,omitempty"`
	}
	sarifFile struct {
		URI  string `json:"uri"`
		Base string `json:"uriBaseId,omitempty"`
	}
	sarifRegion struct {
		Line    int        `json:"startLine"`
		Column  int        `json:"startColumn,omitempty"`
		End     int        `json:"endColumn,omitempty"`
		Snippet *sarifText `json:"snippet,omitempty"`
	}
)

const sarifSchema = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

var sarifLevels = map[Severity]string{Error: "error", Warning: "warning", Advice: "note"}

// WriteSARIF writes the list, what is allowed and every rule there is as SARIF 2.1.0. Folder is the
// handbook's, from the root of the sources, or its whole path, with slashes.
func (l List) WriteSARIF(w io.Writer, allowed List, version, folder string) error {
	run := sarifRun{Language: "en", ColumnKind: "utf16CodeUnits", Results: []sarifResult{}}
	run.Tool.Driver = sarifDriver{Name: "benchleaf", Version: version}
	index := map[string]int{}
	for i, k := range All() {
		rule := sarifRule{ID: k.ID, About: sarifMessage(k.About), Help: sarifMessage("To mend: " + k.MendText())}
		rule.Default.Enabled, rule.Default.Level = k.Severity != Off, sarifLevels[max(k.Severity, Advice)]
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, rule)
		index[k.ID] = i
	}
	for _, r := range slices.Concat(l, allowed) {
		result := sarifResult{
			Rule: r.ID, Index: index[r.ID], Level: sarifLevels[r.Severity],
			Message:   sarifMessage(r.Message + ". " + r.Mend),
			Locations: []sarifLocation{{sarifPlace{sarifFileOf(folder, r.Place.File), r.sarifRegion()}}},
			Allowed:   []sarifAllowed{}, // that none has any says that each was looked at (3.27.23)
		}
		if r.Allowed != "" {
			result.Allowed = append(result.Allowed, sarifAllowed{"inSource", r.Allowed})
		}
		run.Results = append(run.Results, result)
	}
	return writeJSON(w, sarifLog{"2.1.0", sarifSchema, []sarifRun{run}})
}

// sarifMessage writes a message string: braces stand twice, for one begins a placeholder
// (3.11.5), and what would be a link (3.11.6) is none.
func sarifMessage(text string) sarifText {
	return sarifText{strings.NewReplacer("{", "{{", "}", "}}", "](", "] (").Replace(text)}
}

// sarifFileOf names a file relative to the root of the sources, wherever that is on the
// machine of the log's reader, or by its whole path.
func sarifFileOf(folder, file string) sarifFile {
	path := folder + "/" + file
	if path[0] == '/' {
		return sarifFile{URI: (&url.URL{Scheme: "file", Path: path}).String()}
	}
	if folder == "." {
		path = file
	}
	return sarifFile{(&url.URL{Path: path}).String(), "%SRCROOT%"}
}

// sarifRegion is the marked word. Columns count code units of UTF-16, which the editors
// that read SARIF count in.
func (r Remark) sarifRegion() *sarifRegion {
	if r.Place.Line == 0 {
		return nil
	}
	region := &sarifRegion{Line: r.Place.Line}
	if r.Place.Column == 0 {
		return region
	}
	line := []rune(r.Source)
	units := func(column int) int {
		before := min(column-1, len(line))
		return len(utf16.Encode(line[:before])) + column - before
	}
	region.Column, region.End = units(r.Place.Column), units(r.End())
	if from, to := r.Place.Column-1, r.End()-1; to > from && to <= len(line) {
		region.Snippet = &sarifText{string(line[from:to])}
	}
	return region
}

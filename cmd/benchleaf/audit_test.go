package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"path/filepath"
	"strings"
	"testing"
)

const auditUsage = "usage: benchleaf audit [FLAGS] [FOLDER]\n" +
	"       to say what is wrong with a handbook, and write nothing\n" +
	"  -coverage       say which parts, causes and engine states the procedures look at, and the minutes to a cause\n" +
	"  -format FORM    form of the remarks: text, json or sarif; text if left out\n"

func TestAuditFormats(t *testing.T) {
	for _, c := range []struct {
		name, args     string
		status         int
		stdout, stderr string // how they begin
	}{
		{"help", "audit -h", 0, auditUsage, ""},
		{"json", "audit -format json", 1, "{\n  \"audit\": 1,\n  \"errors\": 1,", ""},
		{"no format", "audit -format xml", 2, "", "benchleaf audit: \"xml\" is no format: text, json, sarif\n"},
		{"coverage for programs", "audit -coverage -format json", 2, "", "benchleaf audit: -coverage goes with the format text only\n"},
		{"no folder", "audit -format json none", 2, "", "benchleaf audit: none: there is no such folder; name the handbook's, or begin one: benchleaf begin handbook\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, stdout, stderr := try(t, broken, strings.Fields(c.args)...)
			if status != c.status || !strings.HasPrefix(stdout, c.stdout) || !strings.HasPrefix(stderr, c.stderr) || (stdout == "") != (c.stdout == "") {
				t.Errorf("status %d\nstdout %s\nstderr %s", status, stdout, stderr)
			}
		})
	}
}

// TestAuditSARIF holds how files are named: from where the program is started.
func TestAuditSARIF(t *testing.T) {
	type log struct {
		Runs []struct {
			Results []struct {
				Locations []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI, URIBaseID string }
					}
				}
			}
		}
	}
	files := map[string]string{"here/x.txt": ""}
	maps.Copy(files, broken)
	for _, c := range []struct{ from, folder, base, uri string }{
		{".", "content", "%SRCROOT%", "content/en/a.md"},
		{"content", ".", "%SRCROOT%", "en/a.md"},
		{"here", "../content", "", "/content/en/a.md"},
	} {
		try(t, files, "version")
		t.Chdir(c.from)
		var stdout, stderr bytes.Buffer
		status := Run([]string{"audit", "-format", "sarif", filepath.FromSlash(c.folder)}, nil, &stdout, &stderr)
		var l log
		if err := json.Unmarshal(stdout.Bytes(), &l); err != nil || status != 1 || stderr.Len() > 0 {
			t.Fatalf("%d %v %s", status, err, stderr.String())
		}
		file := l.Runs[0].Results[0].Locations[0].PhysicalLocation.ArtifactLocation
		whole := strings.HasPrefix(file.URI, "file:///") && strings.HasSuffix(file.URI, c.uri)
		if file.URIBaseID != c.base || file.URI != c.uri && (c.base != "" || !whole) {
			t.Errorf("%+v: %+v", c, file)
		}
	}
}

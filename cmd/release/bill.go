package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	cdx "github.com/CycloneDX/cyclonedx-go"
)

// module is a part of a program that has a licence of its own.
type module struct {
	path, version string
	sum           string // of its source, in hexadecimal; "" where there is none
	purl          string // by which registers know it (ECMA-427)
	source        string // the folder of its source, or the file whose first comment has its licence
}

// modulesOf are the modules of a program as it says itself, the standard library, and what
// the program has in it that is no module of Go.
func modulesOf(info *buildinfo.BuildInfo) []module {
	goVersion := strings.TrimPrefix(info.GoVersion, "go")
	list := []module{
		{"std", goVersion, "", "pkg:golang/std@" + goVersion, said("go", "env", "GOROOT")},
		{"libwebp", "1.4.0", "", "pkg:github/webmproject/libwebp@v1.4.0", filepath.Join("render", "picture", "libwebp")},
		{"lean-qr", "2.7.4", "", "pkg:npm/lean-qr@2.7.4", filepath.Join("theme", "script", "lean-qr.ts")},
	}
	for _, d := range info.Deps {
		m := module{path: d.Path, version: d.Version, purl: "pkg:golang/" + strings.ToLower(d.Path) + "@" + d.Version}
		if sum, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(d.Sum, "h1:")); err == nil {
			m.sum = hex.EncodeToString(sum)
		}
		m.source = said("go", "list", "-m", "-f", "{{.Dir}}", d.Path)
		list = append(list, m)
	}
	return list
}

// said is what a command says, without the line's end.
func said(command ...string) string {
	text, _ := exec.Command(command[0], command[1:]...).Output()
	return strings.TrimSpace(string(text))
}

// setting is how the program was built in one respect.
func setting(info *buildinfo.BuildInfo, key string) string {
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}

// billOf is what a program consists of, as CycloneDX 1.6 has it (ECMA-424).
func billOf(program, system string, info *buildinfo.BuildInfo) ([]byte, error) {
	data, err := os.ReadFile(program)
	if err != nil {
		return nil, err
	}
	const root = "benchleaf"
	bill := cdx.NewBOM()
	bill.Metadata = &cdx.Metadata{
		Timestamp: setting(info, "vcs.time"),
		Component: &cdx.Component{
			BOMRef: root, Type: cdx.ComponentTypeApplication, Name: filepath.Base(program), Version: info.Main.Version,
			Hashes:   &[]cdx.Hash{{Algorithm: cdx.HashAlgoSHA256, Value: fmt.Sprintf("%x", sha256.Sum256(data))}},
			Licenses: &cdx.Licenses{{License: &cdx.License{ID: "Apache-2.0"}}},
		},
		Properties: &[]cdx.Property{{Name: "commit", Value: setting(info, "vcs.revision")}, {Name: "system", Value: system}, {Name: "go", Value: info.GoVersion}},
	}
	var components []cdx.Component
	var on []string
	for _, m := range modulesOf(info) {
		c := cdx.Component{BOMRef: m.purl, Type: cdx.ComponentTypeLibrary, Name: m.path, Version: m.version, PackageURL: m.purl}
		if m.sum != "" {
			c.Hashes = &[]cdx.Hash{{Algorithm: cdx.HashAlgoSHA256, Value: m.sum}}
		}
		components, on = append(components, c), append(on, m.purl)
	}
	bill.Components = &components
	bill.Dependencies = &[]cdx.Dependency{{Ref: root, Dependencies: &on}}
	var b bytes.Buffer
	err = cdx.NewBOMEncoder(&b, cdx.BOMFileFormatJSON).SetPretty(true).EncodeVersion(bill, cdx.SpecVersion1_6)
	return b.Bytes(), err
}

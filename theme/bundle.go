package theme

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/evanw/esbuild/pkg/api"
)

// engines are the oldest browsers in which the live parts run: those that
// accept 'wasm-unsafe-eval' in a content policy.
var engines = []api.Engine{
	{Name: api.EngineChrome, Version: "97"},
	{Name: api.EngineSafari, Version: "16.4"},
	{Name: api.EngineFirefox, Version: "102"},
}

// bundleScript puts the texts of a language in the place of the constants
// word.<group>.<name>, so that a script carries the words it uses and no others.
// constants are true or false by name: bound in a handbook in one file, desk where pages
// are shown while they are written. The constant borrowed says whether the words are of
// another language than the page, rtl whether they are written from right to left.
func bundleScript(entry Entry, words *Words, constants map[string]bool) ([]byte, error) {
	define := map[string]string{"borrowed": strconv.FormatBool(words.foreign), "rtl": strconv.FormatBool(Direction(words.Lang) == "rtl")}
	for name, value := range constants {
		define[name] = strconv.FormatBool(value)
	}
	dir := "script"
	if entry == DeskScript {
		dir = "desk"
	}
	first := path.Join(dir, string(entry)+".ts")
	keys, err := keysFrom(first)
	if err != nil {
		return nil, err
	}
	for _, key := range keys {
		if !words.Has(key) {
			return nil, fmt.Errorf("theme: script uses %s, which has no text in %q", key, words.Lang)
		}
		text, err := json.Marshal(words.Isolated(key))
		if err != nil {
			return nil, err
		}
		define["word."+key] = string(text)
	}
	options := minified(first, define)
	if from := takes[entry]; from != nil {
		return bundleBehind(from, options)
	}
	return build(files, options)
}

// module is what a script says of itself: the words that it names, and the modules that it takes in.
type module struct {
	keys, takes []string
}

// Each begins with letters that stand for themselves: those are found much faster.
var (
	scriptKey  = regexp.MustCompile(`word\.(\w+\.\w+)`)
	scriptFrom = regexp.MustCompile(`from "(\.[^"]+)"`)
	scriptRuns = regexp.MustCompile(`import "(\.[^"]+)"`)
)

// scriptModules are all scripts by their path. They are read once: looking through them takes as long as
// bundling some.
var scriptModules = sync.OnceValues(func() (map[string]module, error) {
	names, err := fs.Glob(files, "script/*.ts")
	if err != nil {
		return nil, err
	}
	desk, err := fs.Glob(files, "desk/*.ts")
	if err != nil {
		return nil, err
	}
	all := map[string]module{}
	for _, name := range append(names, desk...) {
		text, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var m module
		for _, found := range scriptKey.FindAllSubmatch(text, -1) {
			m.keys = append(m.keys, string(found[1]))
		}
		for _, found := range append(scriptFrom.FindAllSubmatch(text, -1), scriptRuns.FindAllSubmatch(text, -1)...) {
			m.takes = append(m.takes, path.Join(path.Dir(name), string(found[1])+".ts"))
		}
		all[name] = m
	}
	return all, nil
})

// keysFrom returns the keys of the words that a script and the modules behind it name, each once.
// Esbuild takes longer for a constant that is defined than for reading it.
func keysFrom(name string) (keys []string, err error) {
	all, err := scriptModules()
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	for names := []string{name}; len(names) > 0; names = names[1:] {
		if m := all[names[0]]; !seen[names[0]] {
			seen[names[0]] = true
			keys, names = append(keys, m.keys...), append(names, m.takes...)
		}
	}
	slices.Sort(keys)
	return slices.Compact(keys), nil
}

// bundleStyle bundles a style sheet.
func bundleStyle(entry StyleEntry) ([]byte, error) {
	name := string(entry) + ".css"
	if entry == BoundStyle {
		return bundleFrom(together{sub("style")}, name, nil)
	}
	if entry == DeskStyle {
		return bundleEntry("desk", name, nil)
	}
	return bundleEntry("style", name, nil)
}

// bundleEntry bundles a file of an embedded folder with what it imports.
func bundleEntry(dir, entry string, define map[string]string) ([]byte, error) {
	return bundleFrom(sub(dir), entry, define)
}

func bundleFrom(from fs.FS, entry string, define map[string]string) ([]byte, error) {
	return build(from, minified(entry, define))
}

func minified(entry string, define map[string]string) api.BuildOptions {
	return api.BuildOptions{
		EntryPoints:       []string{entry},
		Define:            define,
		Format:            api.FormatIIFE,
		MinifyWhitespace:  true,
		MinifyIdentifiers: true,
		MinifySyntax:      true,
	}
}

// build runs esbuild over a file system instead of the disk.
func build(from fs.FS, options api.BuildOptions) ([]byte, error) {
	return bundleOf(api.Build(embedded(from, options)))
}

// embedded are the options of a bundle that is made of a file system.
func embedded(from fs.FS, options api.BuildOptions) api.BuildOptions {
	options.Bundle = true
	options.Engines = engines
	options.Charset = api.CharsetUTF8
	options.LegalComments = api.LegalCommentsInline
	options.LogLevel = api.LogLevelSilent
	options.TsconfigRaw = `{"compilerOptions": {"strict": true, "alwaysStrict": false}}`
	options.Plugins = append(options.Plugins, api.Plugin{Name: "embedded", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `.*`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			if strings.HasPrefix(a.Path, "data:") {
				return api.OnResolveResult{Path: a.Path, External: true}, nil
			}
			name := path.Join(path.Dir(a.Importer), a.Path)
			if a.Kind == api.ResolveJSImportStatement {
				name += ".ts"
			}
			return api.OnResolveResult{Path: name, Namespace: "theme"}, nil
		})
		lend(b)
		b.OnLoad(api.OnLoadOptions{Filter: `.*`, Namespace: "theme"}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
			text, err := fs.ReadFile(from, a.Path)
			contents, loader := string(text), api.LoaderTS
			if path.Ext(a.Path) == ".css" {
				loader = api.LoaderCSS
			}
			return api.OnLoadResult{Contents: &contents, Loader: loader}, err
		})
	}})
	return options
}

// bundleOf is the bundle that esbuild has made.
func bundleOf(result api.BuildResult) ([]byte, error) {
	if len(result.Errors) > 0 {
		return nil, told(result.Errors)
	}
	if len(result.OutputFiles) != 1 {
		return nil, fmt.Errorf("theme: %d bundles instead of one", len(result.OutputFiles))
	}
	return result.OutputFiles[0].Contents, nil
}

// told are errors as esbuild tells them.
func told(messages []api.Message) error {
	var errs []error
	for _, m := range messages {
		where := ""
		if m.Location != nil {
			where = fmt.Sprintf("%s:%d:%d: ", m.Location.File, m.Location.Line, m.Location.Column+1)
		}
		errs = append(errs, errors.New("theme: "+where+m.Text))
	}
	return errors.Join(errs...)
}

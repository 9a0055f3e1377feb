package theme

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"sync"

	"github.com/evanw/esbuild/pkg/api"
)

// takes names, for each script that runs behind others of its page, what those lend it:
// the files script/lend-NAME.ts that they take in, what the nearest one lends last.
// A module that stands there is in a page once.
var takes = map[Entry][]string{
	PlotScript:     {"first", "page", "bench"},
	JobScript:      {"first", "page"},
	BarScript:      {"first", "page"},
	PracticeScript: {"first", "page"},
	RecordScript:   {"first", "jobs"},
	ReadScript:     {"first"},
	PictureScript:  {"first"},
	CheckScript:    {"first"},
	HeldScript:     {"first"},
	DueScript:      {"first"},
}

// lendFile is a file of what is lent, by its path.
var lendFile = regexp.MustCompile(`^script/lend-(\w+)\.ts$`)

// lendLine is a line of such a file: some names of a module.
var lendLine = regexp.MustCompile(`(?m)^export \{ (.+) \} from "\./(.+)";$`)

// loan is what a file lends: names, by the module that has them, in the order in which they
// stand in an array, which packs in half of what an object with the names would. The array is
// called after a digest of all that is lent: a browser may hold scripts of two editions, and one
// that lends something else lends nothing.
type loan struct {
	array   string
	names   []string
	modules []string // of each name
}

func readLoan(of string) (loan, error) {
	var l loan
	text, err := fs.ReadFile(files, "script/lend-"+of+".ts")
	if err != nil {
		return l, err
	}
	for _, m := range lendLine.FindAllStringSubmatch(string(text), -1) {
		for name := range strings.SplitSeq(m[1], ", ") {
			l.names, l.modules = append(l.names, name), append(l.modules, m[2])
		}
	}
	digest, err := lentDigest()
	l.array = "benchleaf" + strings.ToUpper(of[:1]) + of[1:] + digest
	return l, err
}

// lentDigest is one of the modules of which something is lent, and of how.
var lentDigest = sync.OnceValues(func() (string, error) {
	names, err := fs.Glob(files, "script/lend-*.ts")
	digest := sha256.New()
	for i := 0; i < len(names) && err == nil; i++ {
		var text []byte
		text, err = fs.ReadFile(files, names[i])
		digest.Write(text)
		if lendFile.MatchString(names[i]) {
			for _, m := range lendLine.FindAllSubmatch(text, -1) {
				names = append(names, "script/"+string(m[2])+".ts")
			}
		}
	}
	return fmt.Sprintf("%.2x", digest.Sum(nil)), err
})

// lend makes of a file of what is lent a script that does lend it.
func lend(b api.PluginBuild) {
	b.OnLoad(api.OnLoadOptions{Filter: lendFile.String(), Namespace: "theme"}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
		l, err := readLoan(lendFile.FindStringSubmatch(a.Path)[1])
		var text strings.Builder
		for i, name := range l.names {
			fmt.Fprintf(&text, "import { %s } from \"./%s\";\n", name, l.modules[i])
		}
		fmt.Fprintf(&text, "self.%s = [%s];\n", l.array, strings.Join(l.names, ", "))
		contents := text.String()
		return api.OnLoadResult{Contents: &contents, Loader: api.LoaderJS}, err
	})
}

// bundleBehind bundles a script that takes of others what they lend.
func bundleBehind(from []string, options api.BuildOptions) ([]byte, error) {
	var loans []loan
	for _, of := range from {
		l, err := readLoan(of)
		if err != nil {
			return nil, err
		}
		loans = append(loans, l)
	}
	// Behind another script than thought, or one that has failed, it does nothing.
	options.Banner = map[string]string{"js": "self." + loans[len(loans)-1].array + "&&"}
	options.Metafile = true
	used := map[string]bool{}
	options.Plugins = []api.Plugin{take(loans, used)}
	c, wrong := api.Context(embedded(files, options))
	if wrong != nil {
		return nil, told(wrong.Errors)
	}
	defer c.Dispose()
	// The first bundle tells which of the names it uses, the second takes these. What else is in it is parsed once.
	first := c.Rebuild()
	if _, err := bundleOf(first); err != nil {
		return nil, err
	}
	var metafile struct {
		Outputs map[string]struct{ Inputs map[string]struct{} }
	}
	if err := json.Unmarshal([]byte(first.Metafile), &metafile); err != nil {
		return nil, err
	}
	for _, output := range metafile.Outputs {
		for input := range output.Inputs {
			used[strings.TrimPrefix(input, "taken:")] = true
		}
	}
	return bundleOf(c.Rebuild())
}

// take puts in the place of each module that is lent one with the names that are. Those that
// are used, as it is known when a bundle is begun, come out of the array in one go, each other one is a module of its own, which a
// bundle has only where it is used. Esbuild refuses a name that is not lent.
func take(loans []loan, used map[string]bool) api.Plugin {
	return api.Plugin{Name: "take", Setup: func(b api.PluginBuild) {
		var lent, arrays map[string]string
		b.OnStart(func() (api.OnStartResult, error) {
			lent, arrays = modulesTaken(loans, used)
			return api.OnStartResult{}, nil
		})
		b.OnResolve(api.OnResolveOptions{Filter: `.*`}, func(a api.OnResolveArgs) (api.OnResolveResult, error) {
			name := path.Join(path.Dir(a.Importer), a.Path) + ".ts"
			switch {
			case a.Namespace == "lent":
				return api.OnResolveResult{Path: a.Path, Namespace: "taken", SideEffects: api.SideEffectsFalse}, nil
			case lent[name] != "":
				return api.OnResolveResult{Path: name, Namespace: "lent", SideEffects: api.SideEffectsFalse}, nil
			}
			return api.OnResolveResult{}, nil // as it is
		})
		load := func(namespace string, texts *map[string]string) {
			b.OnLoad(api.OnLoadOptions{Filter: `.*`, Namespace: namespace}, func(a api.OnLoadArgs) (api.OnLoadResult, error) {
				contents := (*texts)[a.Path]
				return api.OnLoadResult{Contents: &contents}, nil
			})
		}
		load("lent", &lent)
		load("taken", &arrays)
	}}
}

// modulesTaken are the texts of the modules that stand for what is lent: by the path of a module that lends, and by what
// is taken.
func modulesTaken(loans []loan, used map[string]bool) (lent, arrays map[string]string) {
	lent, arrays = map[string]string{}, map[string]string{}
	for _, l := range loans {
		places := make([]string, len(l.names))
		for i, name := range l.names {
			own := fmt.Sprintf("%s[%d]", l.array, i)
			module, source := "script/"+l.modules[i]+".ts", own
			arrays[own] = "export const " + name + " = " + own
			if used[own] {
				places[i], source = name, l.array
			}
			lent[module] += fmt.Sprintf("export { %s } from %q;\n", name, source)
		}
		arrays[l.array] = "export const [" + strings.TrimRight(strings.Join(places, ","), ",") + "] = " + l.array
	}
	return lent, arrays
}

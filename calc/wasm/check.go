package wasm

import (
	"errors"
	"fmt"
	"go/ast"
	"go/build/constraint"
	"go/parser"
	"go/scanner"
	"go/token"
	"go/types"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Program is type-checked source. It does not change, and Compile may be called
// on it concurrently.
type Program struct {
	source *types.Package
	fset   *token.FileSet
	info   types.Info
	intrin string   // import path of the package of instructions
	base   *Program // what was checked before, and may be imported; or nil

	functions map[*types.Func]*ast.FuncDecl
	constants map[types.Object]ast.Expr // a constant's expression
	arrays    map[types.Object]ast.Expr // a package variable's initial value
	changed   map[types.Object]ast.Node // a use that may change it
}

// Check parses and type-checks the source, with the sizes of amd64, so that int
// has 64 bits wherever the compiler runs. The Program is nil if there are
// problems.
func Check(source Source) (*Program, []Problem) {
	c := newChecker(source)
	c.Program.source = c.load(source.Path, source.Files, "")
	if len(c.problems) > 0 {
		return nil, sortProblems(c.problems)
	}
	return c.Program, nil
}

// Extend type-checks another package, which may import p's package, without
// checking that again. Its functions are what Compile then finds.
func (p *Program) Extend(path string, files map[string][]byte) (*Program, []Problem) {
	c := newChecker(Source{Path: path, Imports: map[string]map[string][]byte{p.source.Path(): nil}, Intrinsics: p.intrin})
	c.base = p
	c.packages[p.source.Path()] = p.source
	c.Program.source = c.load(path, files, "")
	if len(c.problems) > 0 {
		return nil, sortProblems(c.problems)
	}
	return c.Program, nil
}

// checker is the state of one Check.
type checker struct {
	*Program
	from     Source
	packages map[string]*types.Package // nil while being loaded
	problems []Problem
}

func newChecker(source Source) *checker {
	return &checker{
		Program: &Program{
			fset: token.NewFileSet(),
			info: types.Info{
				Types:      map[ast.Expr]types.TypeAndValue{},
				Defs:       map[*ast.Ident]types.Object{},
				Uses:       map[*ast.Ident]types.Object{},
				Selections: map[*ast.SelectorExpr]*types.Selection{},
				Implicits:  map[ast.Node]types.Object{},
			},
			intrin:    source.Intrinsics,
			functions: map[*types.Func]*ast.FuncDecl{},
			constants: map[types.Object]ast.Expr{},
			arrays:    map[types.Object]ast.Expr{},
			changed:   map[types.Object]ast.Node{},
		},
		from:     source,
		packages: map[string]*types.Package{},
	}
}

// load parses and type-checks one package; prefix stands before its file names
// in problems. It returns nil if there are problems.
func (c *checker) load(path string, sources map[string][]byte, prefix string) *types.Package {
	c.packages[path] = nil
	before := len(c.problems)
	var files []*ast.File
	for _, name := range slices.Sorted(maps.Keys(sources)) {
		files = append(files, c.parse(prefix+name, sources[name])...)
	}
	for _, file := range files {
		c.imports(file)
	}
	if len(files) == 0 && len(c.problems) == before {
		c.problems = append(c.problems, Problem{File: prefix, Message: fmt.Sprintf("package %q has no files", path)})
	}
	c.weigh(files)
	if len(c.problems) > before {
		return nil
	}
	all := files
	if path == c.intrin {
		file, err := parser.ParseFile(c.fset, "", "package "+files[0].Name.Name+"\n"+signatures(), parser.SkipObjectResolution)
		if err != nil {
			panic("the signatures of the instructions do not parse: " + err.Error())
		}
		all = append(slices.Clip(files), file)
	}
	config := types.Config{
		Importer: c,
		Sizes:    types.SizesFor("gc", "amd64"),
		Error: func(err error) {
			var e types.Error
			if !errors.As(err, &e) || strings.HasPrefix(e.Msg, "could not import") && len(c.problems) > before {
				return // the import's own problems say it
			}
			if strings.HasPrefix(e.Msg, "\t") {
				return // more about the one before
			}
			problem := c.problem(e.Pos, e.Pos, e.Msg, "")
			problem.End = wordEnd(sources[strings.TrimPrefix(problem.File, prefix)], problem.Offset)
			c.problems = append(c.problems, problem)
		},
	}
	pkg, _ := config.Check(path, c.fset, all, &c.info)
	if len(c.problems) > before {
		return nil
	}
	c.packages[path] = pkg
	for _, file := range files {
		c.collect(file)
	}
	return pkg
}

// parse returns the file, or nothing and problems. A file that a build
// constraint may leave out is refused: which bytes are compiled must not depend
// on the machine.
func (c *checker) parse(name string, source []byte) []*ast.File {
	if len(source) > 1<<20 {
		c.problems = append(c.problems, Problem{File: name, Message: "the file is larger than 1 MB"})
		return nil
	}
	file, err := parser.ParseFile(c.fset, name, source, parser.SkipObjectResolution|parser.ParseComments)
	var list scanner.ErrorList
	if errors.As(err, &list) {
		for _, e := range list {
			c.problems = append(c.problems, Problem{File: name, Offset: e.Pos.Offset, End: wordEnd(source, e.Pos.Offset), Message: e.Msg})
		}
		return nil
	}
	if err != nil {
		c.problems = append(c.problems, Problem{File: name, Message: err.Error()})
		return nil
	}
	for _, group := range file.Comments {
		for _, comment := range group.List {
			if constraint.IsGoBuild(comment.Text) && comment.Pos() < file.Package {
				c.at(comment, "a build constraint is not in the subset", "remove the line")
			}
		}
	}
	return []*ast.File{file}
}

// imports refuses what may not be imported.
func (c *checker) imports(file *ast.File) {
	for _, spec := range file.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue // the type checker reports it
		}
		if _, ok := c.from.Imports[path]; ok {
			continue
		}
		hint := "remove the import"
		if c.intrin != "" && c.intrin != c.from.Path {
			hint = fmt.Sprintf("the functions of %q are there", c.intrin)
		}
		c.at(spec, fmt.Sprintf("package %q may not be imported by a calculator", path), hint)
	}
}

// Import implements types.Importer over Source.Imports.
func (c *checker) Import(path string) (*types.Package, error) {
	if pkg, seen := c.packages[path]; pkg != nil {
		return pkg, nil
	} else if seen {
		return nil, errors.New("the package has problems or imports itself")
	}
	if pkg := c.load(path, c.from.Imports[path], path+"/"); pkg != nil {
		return pkg, nil
	}
	return nil, errors.New("the package has problems")
}

// collect records the declarations of a file that Compile looks up.
func (c *checker) collect(file *ast.File) {
	var stack []ast.Node
	ast.Inspect(file, func(node ast.Node) bool {
		if node == nil {
			stack = stack[:len(stack)-1]
			return true
		}
		stack = append(stack, node)
		switch node := node.(type) {
		case *ast.FuncDecl:
			if f, ok := c.info.Defs[node.Name].(*types.Func); ok {
				c.functions[f] = node
			}
			if node.Recv == nil && node.Name.Name == "init" {
				c.at(node.Name, "an init function is not in the subset", "write the values where they are declared")
			}
		case *ast.GenDecl:
			c.collectValues(node, len(stack) == 2)
		case *ast.Ident:
			if v, ok := c.info.Uses[node].(*types.Var); ok && isPackageVariable(v) && changes(stack) {
				c.changed[v] = node
			}
		}
		return true
	})
}

// collectValues records the expressions of constants, and of variables if they
// are a package's. A constant without one repeats the one before.
func (c *checker) collectValues(decl *ast.GenDecl, packageLevel bool) {
	var values []ast.Expr
	for _, spec := range decl.Specs {
		spec, ok := spec.(*ast.ValueSpec)
		if !ok {
			continue
		}
		if len(spec.Values) > 0 || decl.Tok == token.VAR {
			values = spec.Values
		}
		for i, name := range spec.Names {
			if len(values) == 0 {
				continue
			}
			value := values[min(i, len(values)-1)] // a call may give several
			switch object := c.info.Defs[name].(type) {
			case *types.Const:
				c.constants[object] = value
			case *types.Var:
				if packageLevel {
					c.arrays[object] = value
				}
			}
		}
	}
}

func isPackageVariable(v *types.Var) bool {
	return v.Pkg() != nil && v.Parent() == v.Pkg().Scope()
}

// changes reports whether the last node of the stack, the use of a package
// variable, stands where the variable might be changed: anywhere but under an
// index that is read, or in len.
func changes(stack []ast.Node) bool {
	i := len(stack) - 1
	up := func() ast.Node {
		for i--; i >= 0; i-- {
			if _, ok := stack[i].(*ast.ParenExpr); !ok {
				return stack[i]
			}
		}
		return nil
	}
	variable := ast.Node(stack[i].(*ast.Ident))
	parent := up()
	if s, ok := parent.(*ast.SelectorExpr); ok && s.Sel == variable {
		variable, parent = s, up()
	}
	switch p := parent.(type) {
	case *ast.CallExpr:
		name, ok := p.Fun.(*ast.Ident)
		return !ok || name.Name != "len"
	case *ast.IndexExpr:
		if ast.Unparen(p.X) != variable {
			return false // the variable is within the index of something else
		}
		switch q := up().(type) {
		case *ast.AssignStmt:
			return slices.ContainsFunc(q.Lhs, func(e ast.Expr) bool { return ast.Unparen(e) == p })
		case *ast.IncDecStmt, *ast.SelectorExpr, *ast.SliceExpr:
			return true
		case *ast.UnaryExpr:
			return q.Op == token.AND
		case *ast.RangeStmt:
			return q.Key != nil && ast.Unparen(q.Key) == p || q.Value != nil && ast.Unparen(q.Value) == p
		}
		return false
	}
	return true
}

// at adds a problem with the extent of a node.
func (c *checker) at(node ast.Node, message, hint string) {
	c.problems = append(c.problems, c.problem(node.Pos(), node.End(), message, hint))
}

// problem returns a problem with the extent of [start, end).
func (p *Program) problem(start, end token.Pos, message, hint string) Problem {
	file := p.fset.File(start)
	if file == nil {
		return Problem{Message: message, Hint: hint}
	}
	offset := file.Offset(start)
	return Problem{File: file.Name(), Offset: offset, End: max(offset, file.Offset(end)), Message: message, Hint: hint}
}

// wordEnd returns the offset behind the word or the sign at offset.
func wordEnd(text []byte, offset int) int {
	end := min(offset, len(text))
	for end < len(text) {
		r, size := utf8.DecodeRune(text[end:])
		if r != '_' && !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			if end == offset {
				end += size
			}
			break
		}
		end += size
	}
	return end
}

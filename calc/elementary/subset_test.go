package elementary

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"testing"
)

// A native compiler may fuse a product into a sum unless it stands in
// float64(...). Doubling and halving are exact either way.
func TestProductsAreNotFused(t *testing.T) {
	seen := 0
	for name, source := range Files() {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, name, source, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.PreorderStack(file, nil, func(node ast.Node, stack []ast.Node) bool {
			product, ok := node.(*ast.BinaryExpr)
			if !ok || product.Op != token.MUL || isLiteral(product.X, "2") || isShift(product.Y) {
				return true
			}
			seen++
			i := len(stack) - 1
			for ; i > 0; i-- {
				if _, ok := stack[i].(*ast.ParenExpr); !ok {
					break
				}
			}
			switch parent := stack[i].(type) {
			case *ast.BinaryExpr:
				if parent.Op == token.MUL || parent.Op == token.QUO {
					return true
				}
			case *ast.CallExpr:
				if conversion, ok := parent.Fun.(*ast.Ident); ok && conversion.Name == "float64" {
					return true
				}
			}
			t.Errorf("%s: this product may be fused into a sum", fset.Position(product.Pos()))
			return true
		})
	}
	if seen < 50 {
		t.Errorf("only %d products seen", seen)
	}
}

func isLiteral(e ast.Expr, text string) bool {
	literal, ok := e.(*ast.BasicLit)
	return ok && literal.Value == text
}

// isShift reports whether a factor is a power of two of whole numbers.
func isShift(e ast.Expr) bool {
	paren, ok := e.(*ast.ParenExpr)
	if !ok {
		return false
	}
	shift, ok := paren.X.(*ast.BinaryExpr)
	return ok && shift.Op == token.SHL
}

// Files has to hold every file of the package but the two that are not in the
// subset and those without declarations.
func TestFilesAreComplete(t *testing.T) {
	files := Files()
	without := map[string]bool{"elementary.go": true, "files.go": true, "instructions.go": true}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, entry := range entries {
		name := entry.Name()
		if without[name] || len(name) < 3 || name[len(name)-3:] != ".go" || len(name) > 8 && name[len(name)-8:] == "_test.go" {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if string(files[name]) != string(text) {
			t.Errorf("Files does not hold %s", name)
		}
		delete(files, name)
	}
	for name := range files {
		t.Errorf("Files holds %s, which is not there", name)
	}
}

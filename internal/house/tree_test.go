package house

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// root is the top of the checkout, seen from this folder.
var root = filepath.Join("..", "..")

// goFile is one Go source file of the tree, the tools module included.
type goFile struct {
	path   string // relative to root, slashes
	folder string // the package's folder, relative to root, slashes
	isTest bool
	syntax *ast.File
}

// tree is the checkout as it lies on disk, without what is built or made.
type tree struct {
	paths []string // every file, relative to root, slashes
	gofs  []goFile
	fset  *token.FileSet
}

// notSources are the top-level folders that are not part of the sources.
var notSources = map[string]bool{".git": true, "bin": true, "demo-film": true}

var readTree = sync.OnceValues(func() (*tree, error) {
	t := &tree{fset: token.NewFileSet()}
	err := fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if notSources[path] {
				return fs.SkipDir
			}
			return nil
		}
		t.paths = append(t.paths, path)
		if !strings.HasSuffix(path, ".go") {
			return nil
		}
		f, err := parser.ParseFile(t.fset, filepath.Join(root, path), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		folder := filepath.ToSlash(filepath.Dir(path))
		t.gofs = append(t.gofs, goFile{path, folder, strings.HasSuffix(path, "_test.go"), f})
		return nil
	})
	return t, err
})

func theTree(t *testing.T) *tree {
	t.Helper()
	tr, err := readTree()
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

// read returns the text of a file of the tree.
func read(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(path)))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// imports returns the paths that a file imports.
func (f goFile) imports() []string {
	var all []string
	for _, i := range f.syntax.Imports {
		all = append(all, strings.Trim(i.Path.Value, `"`+"`"))
	}
	return all
}

package house

import (
	"go/ast"
	"regexp"
	"strings"
	"testing"
)

// key is a source's key in brackets: a capital letter first and a digit
// somewhere, as in [BT1359] or [Ellis2007], or capitals only, as in [JFIF].
// Go's own doc links seldom look like that; those that do are told apart by
// being declared.
var key = regexp.MustCompile(`\[([A-Z][A-Za-z-]*[0-9][A-Za-z0-9-]*|[A-Z]{3,})\]`)

// listed is a row of docs/references.md: "| `BT1359` | ...".
var listed = regexp.MustCompile("(?m)^\\| `([^`]+)` \\|")

func keysIn(text string) []string {
	var keys []string
	for _, m := range key.FindAllStringSubmatch(text, -1) {
		keys = append(keys, m[1])
	}
	return keys
}

func TestEverySourceIsListed(t *testing.T) {
	known := map[string]bool{}
	for _, m := range listed.FindAllStringSubmatch(read(t, "docs/references.md"), -1) {
		if known[m[1]] {
			t.Errorf("docs/references.md lists %s twice", m[1])
		}
		known[m[1]] = true
	}
	if len(known) == 0 {
		t.Fatal("docs/references.md lists nothing")
	}
	tr := theTree(t)
	declared := tr.declared()
	for _, f := range tr.gofs {
		for _, group := range f.syntax.Comments {
			for _, k := range keysIn(group.Text()) {
				if !known[k] && !declared[f.folder+"."+k] {
					t.Errorf("%s: source [%s] is not in docs/references.md", tr.fset.Position(group.Pos()), k)
				}
			}
		}
	}
	for _, p := range tr.paths {
		if strings.HasPrefix(p, "docs/") && strings.HasSuffix(p, ".md") {
			for _, k := range keysIn(withoutLinks(read(t, p))) {
				if !known[k] {
					t.Errorf("%s: source [%s] is not in docs/references.md", p, k)
				}
			}
		}
	}
}

// declared returns "folder.Name" for every name declared at the top level.
func (tr *tree) declared() map[string]bool {
	names := map[string]bool{}
	for _, f := range tr.gofs {
		for _, d := range f.syntax.Decls {
			for _, n := range namesOf(d) {
				names[f.folder+"."+n] = true
			}
		}
	}
	return names
}

func TestKeysIn(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"as in [BT1359], clause g", "BT1359"},
		{"[Ellis2007] and [Mueller2021]", "Ellis2007 Mueller2021"},
		{"full range as in [JFIF]", "JFIF"},
		{"x[0], [Segment], [film.Clip], [2]int, [frames][bins]", ""},
	} {
		if got := strings.Join(keysIn(c.text), " "); got != c.want {
			t.Errorf("keysIn(%q) = %q, want %q", c.text, got, c.want)
		}
	}
}

// namesOf returns the names that a declaration makes.
func namesOf(d ast.Decl) []string {
	var names []string
	switch d := d.(type) {
	case *ast.FuncDecl:
		names = append(names, d.Name.Name)
	case *ast.GenDecl:
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				names = append(names, s.Name.Name)
			case *ast.ValueSpec:
				for _, n := range s.Names {
					names = append(names, n.Name)
				}
			}
		}
	}
	return names
}

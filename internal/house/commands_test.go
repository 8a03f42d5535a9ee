package house

import (
	"go/ast"
	"go/token"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

var (
	inCode  = regexp.MustCompile("(?ms)^```.*?^```|`[^`\n]+`")
	command = regexp.MustCompile(`\btakeweave ([a-z]+)`)
	flag    = regexp.MustCompile(`(?:^|\s)--([a-z-]+)`)
)

// guide are the documents that tell how to use the program.
var guide = []string{"README.md", "CHANGELOG.md", "docs/user-guide.md", "docs/formats.md"}

// commandLine reads the commands and all string literals out of internal/cli.
// A command is made with cobra's field Use, or by stepCommand with its name.
func (tr *tree) commandLine() (commands, literals map[string]bool) {
	commands, literals = map[string]bool{}, map[string]bool{}
	text := func(e ast.Expr) string {
		lit, ok := e.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return ""
		}
		s, err := strconv.Unquote(lit.Value)
		if err != nil {
			return ""
		}
		return s
	}
	add := func(use string) {
		if name, _, _ := strings.Cut(use, " "); name != "" && name != "takeweave" {
			commands[name] = true
		}
	}
	for _, f := range tr.gofs {
		if f.folder != "internal/cli" || f.isTest {
			continue
		}
		ast.Inspect(f.syntax, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.BasicLit:
				literals[text(n)] = true
			case *ast.KeyValueExpr:
				if k, ok := n.Key.(*ast.Ident); ok && k.Name == "Use" {
					add(text(n.Value))
				}
			case *ast.CallExpr:
				if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == "stepCommand" {
					add(text(n.Args[0]))
				}
			}
			return true
		})
	}
	return commands, literals
}

func TestTheGuideKnowsTheCommands(t *testing.T) {
	commands, literals := theTree(t).commandLine()
	if len(commands) == 0 {
		t.Fatal("no command was found in internal/cli")
	}
	mentioned := map[string]bool{}
	for _, p := range guide {
		for _, code := range inCode.FindAllString(read(t, p), -1) {
			for _, m := range command.FindAllStringSubmatch(code, -1) {
				mentioned[m[1]] = true
				if !commands[m[1]] {
					t.Errorf("%s tells of the command %q, which there is not", p, m[1])
				}
			}
			for _, m := range flag.FindAllStringSubmatch(strings.Trim(code, "`"), -1) {
				if m[1] != "help" && !literals[m[1]] {
					t.Errorf("%s tells of the flag --%s, which there is not", p, m[1])
				}
			}
		}
	}
	for c := range commands {
		if !mentioned[c] {
			t.Errorf("no guide tells of the command %q", c)
		}
	}
}

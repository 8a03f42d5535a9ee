package house

import (
	"regexp"
	"strings"
	"testing"
)

// required is a line of go.mod: path, version, and whether it came along with
// another.
var required = regexp.MustCompile(`(?m)^(?:require )?\s*([^\s/]+\.[^\s]+) (v[^\s]+)( // indirect)?$`)

// moduleRow is a row of docs/dependencies.md: "| `module/path` | ...".
var moduleRow = regexp.MustCompile("(?m)^\\| `([^`]+)` \\|")

// requirements returns the modules of a go.mod file with their versions.
func requirements(gomod string) map[string]string {
	versions := map[string]string{}
	for _, m := range required.FindAllStringSubmatch(gomod, -1) {
		versions[m[1]] = m[2]
	}
	return versions
}

func TestEveryDependencyIsAccountedFor(t *testing.T) {
	versions := requirements(read(t, "go.mod"))
	tools := requirements(read(t, "tools/go.mod"))
	if len(versions) == 0 || len(tools) == 0 {
		t.Fatal("no requirement was read")
	}
	rows := map[string]bool{}
	for _, m := range moduleRow.FindAllStringSubmatch(read(t, "docs/dependencies.md"), -1) {
		rows[m[1]] = true
		if versions[m[1]] == "" && tools[m[1]] == "" {
			t.Errorf("docs/dependencies.md has a row for %s, which no go.mod requires", m[1])
		}
	}
	seen := map[string]bool{}
	for _, f := range theTree(t).gofs {
		if strings.HasPrefix(f.folder, "tools") {
			continue
		}
		for _, p := range f.imports() {
			if isStandard(p) || strings.HasPrefix(p, module) {
				continue
			}
			m := moduleOf(p, versions)
			if !seen[m] && !rows[m] {
				t.Errorf("%s imports %s, of which docs/dependencies.md says nothing", f.path, p)
			}
			seen[m] = true
		}
	}
}

// moduleOf returns the longest required module that holds the package.
func moduleOf(pkg string, versions map[string]string) string {
	best := ""
	for m := range versions {
		if within(pkg, m) && len(m) > len(best) {
			best = m
		}
	}
	return best
}

// noticeHeading is a module's heading in docs/notices.md: "### path version".
var noticeHeading = regexp.MustCompile(`(?m)^### (\S+) (v\S+)$`)

// TestNoticesAreOfTheseVersions wants docs/notices.md made anew whenever a
// linked module changes.
func TestNoticesAreOfTheseVersions(t *testing.T) {
	versions := requirements(read(t, "go.mod"))
	found := noticeHeading.FindAllStringSubmatch(read(t, "docs/notices.md"), -1)
	if len(found) == 0 {
		t.Fatal("docs/notices.md names no module")
	}
	for _, m := range found {
		if versions[m[1]] != m[2] {
			t.Errorf("docs/notices.md is of %s %s, go.mod requires %q; run: make notices", m[1], m[2], versions[m[1]])
		}
	}
}

func TestRequirements(t *testing.T) {
	got := requirements("module takeweave\n\ngo 1.26.8\n\nrequire example.org/one v1.0.0\n\nrequire (\n\texample.org/two/v2 v2.3.4\n\texample.org/three v0.0.0-2024 // indirect\n)\n")
	want := map[string]string{"example.org/one": "v1.0.0", "example.org/two/v2": "v2.3.4", "example.org/three": "v0.0.0-2024"}
	for m, v := range want {
		if got[m] != v {
			t.Errorf("version of %s is %q, want %q", m, got[m], v)
		}
	}
	if len(got) != len(want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

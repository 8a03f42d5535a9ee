package house

import (
	"path"
	"regexp"
	"strings"
	"testing"
)

var (
	link    = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	heading = regexp.MustCompile(`(?m)^#+ +(.+)$`)
	fence   = regexp.MustCompile("(?ms)^```.*?^```")
	noSlug  = regexp.MustCompile(`[^\p{L}\p{N} _-]`)
)

// documents are our own texts. The notices quote other people's.
func (tr *tree) documents() []string {
	var all []string
	for _, p := range tr.paths {
		if strings.HasSuffix(p, ".md") && p != "docs/notices.md" {
			all = append(all, p)
		}
	}
	return all
}

// withoutLinks returns a text with every "[words](target)" taken out.
func withoutLinks(text string) string {
	return regexp.MustCompile(`\[[^\]]*\]\([^)]*\)`).ReplaceAllString(text, "")
}

// anchors returns the link targets that a document's headings make.
func anchors(text string) map[string]bool {
	all := map[string]bool{}
	for _, m := range heading.FindAllStringSubmatch(fence.ReplaceAllString(text, ""), -1) {
		slug := noSlug.ReplaceAllString(strings.ToLower(m[1]), "")
		all[strings.ReplaceAll(strings.TrimSpace(slug), " ", "-")] = true
	}
	return all
}

func TestLinksLeadSomewhere(t *testing.T) {
	tr := theTree(t)
	exists := map[string]bool{}
	for _, p := range tr.paths {
		for q := p; q != "."; q = path.Dir(q) {
			exists[q] = true
		}
	}
	found := 0
	for _, p := range tr.documents() {
		for _, m := range link.FindAllStringSubmatch(fence.ReplaceAllString(read(t, p), ""), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			found++
			file, anchor, _ := strings.Cut(m[1], "#")
			target := p
			if file != "" {
				target = path.Join(path.Dir(p), file)
			}
			switch {
			case !exists[target]:
				t.Errorf("%s: the link %q leads to nothing", p, m[1])
			case anchor != "" && !anchors(read(t, target))[anchor]:
				t.Errorf("%s: the link %q names a heading that %s does not have", p, m[1], target)
			}
		}
	}
	if found == 0 {
		t.Error("no link was looked at")
	}
}

func TestAnchors(t *testing.T) {
	got := anchors("# One word\n\n## The film folder: what's in it?\n\n```sh\n# a remark\n```\n")
	for _, want := range []string{"one-word", "the-film-folder-whats-in-it"} {
		if !got[want] {
			t.Errorf("anchors do not hold %q: %v", want, got)
		}
	}
	if len(got) != 2 {
		t.Errorf("got %d anchors, want 2: %v", len(got), got)
	}
}

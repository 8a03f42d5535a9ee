package page_test

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"takeweave/internal/workbench/page"
)

// mostBytes is what the page may weigh on the way, gzipped.
const mostBytes = 300_000

func TestThePageIsLight(t *testing.T) {
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	for _, name := range names(t) {
		if _, err := z.Write(read(t, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	if packed.Len() > mostBytes {
		t.Errorf("the page takes %d bytes gzipped, want at most %d", packed.Len(), mostBytes)
	}
}

func TestThePageIsThreeFiles(t *testing.T) {
	if got := strings.Join(names(t), " "); got != "app.css app.js index.html" {
		t.Errorf("the page is %s", got)
	}
}

// inline matches script and style within a document, which the page's own
// security policy would refuse.
var inline = regexp.MustCompile(`(?i)<script(?:\s[^>]*)?>[^<]|<style|\sstyle=|\son[a-z]+=|javascript:`)

// outside matches an address elsewhere; names of XML vocabularies are none.
var outside = regexp.MustCompile(`(?:https?:)?//[a-z0-9-]+\.[a-z]{2,}[^"'` + "`" + `\s)]*`)

func TestThePageAsksForNothingElsewhere(t *testing.T) {
	if m := inline.Find(read(t, "index.html")); m != nil {
		t.Errorf("index.html has %q in it", m)
	}
	for _, name := range names(t) {
		for _, m := range outside.FindAllString(string(read(t, name)), -1) {
			if !strings.Contains(m, "//www.w3.org/") {
				t.Errorf("%s names %s", name, m)
			}
		}
	}
}

func names(t *testing.T) []string {
	t.Helper()
	all, err := fs.Glob(page.Files, "*")
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	b, err := page.Files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

package interchange

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestFileURL has the forms of [RFC8089], appendices B, E.2 and E.3.
func TestFileURL(t *testing.T) {
	for _, c := range []struct{ path, url string }{
		{"/path/to/file", "file:///path/to/file"},
		{`C:\path\to\file.mov`, "file:///C:/path/to/file.mov"},
		{`\\host.example.com\Share\file.txt`, "file://host.example.com/Share/file.txt"},
		{"/a b/100%/ü#?.mov", "file:///a%20b/100%25/%C3%BC%23%3F.mov"},
		{"wide/a b.mov", "wide/a%20b.mov"},
	} {
		got := fileURL(c.path)
		if got != c.url {
			t.Errorf("fileURL(%q) = %q, want %q", c.path, got, c.url)
		}
		if back := mediaPath(got); !samePath(back, c.path) {
			t.Errorf("mediaPath(%q) = %q, want %q", got, back, c.path)
		}
	}
	for in, want := range map[string]string{
		"file://localhost/path/to/file": "/path/to/file",
		"black.mov":                     "black.mov",
		"https://example.org/a%20b.mov": "https://example.org/a%20b.mov",
		"take 100% done.mov":            "take 100% done.mov",
		"":                              "",
	} {
		if got := mediaPath(in); got != want {
			t.Errorf("mediaPath(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestPathsComeBackFromURLs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := "/" + strings.TrimLeft(rapid.String().Draw(t, "path"), "/")
		if got := mediaPath(fileURL(p)); got != p && !isDrive(p[1:]) {
			t.Fatalf("%q came back as %q by %q", p, got, fileURL(p))
		}
	})
}

package card

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"time"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("receipt").Funcs(template.FuncMap{
	"size": sizeInWords,
	"when": func(t time.Time) string { return t.UTC().Format("2006-01-02 15:04:05 UTC") },
	"name": shownName,
	"all":  allProven,
}).Parse(pageText))

// WritePage writes a receipt as one page that needs nothing else and prints.
func WritePage(w io.Writer, r Receipt) error { return page.Execute(w, r) }

// sizeInWords counts as drives are sold: 1 GB is 10⁹ bytes.
func sizeInWords(n int64) string {
	switch {
	case n < 10_000:
		return count(int(n), "byte", "bytes")
	case n < 10_000_000:
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	case n < 10_000_000_000:
		return fmt.Sprintf("%.0f MB", float64(n)/1e6)
	}
	return fmt.Sprintf("%.1f GB", float64(n)/1e9)
}

// shownName writes a path so that nothing in it hides: line ends and the like
// as escapes.
func shownName(path string) string {
	quoted := fmt.Sprintf("%q", path)
	if inner := quoted[1 : len(quoted)-1]; inner != path && !strings.Contains(path, `"`) {
		return quoted
	}
	return path
}

// allProven reports whether a file is proven at every place.
func allProven(f File) bool {
	for _, p := range f.Proven {
		if !p {
			return false
		}
	}
	return len(f.Proven) > 0
}

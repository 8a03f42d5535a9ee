package plan_test

import (
	"html"
	"regexp"
	"strings"
	"testing"

	"takeweave/internal/daylog"
	"takeweave/internal/demo"
	"takeweave/internal/plan"
)

// page returns a page of the invented day as text.
func page(t *testing.T, p plan.Plan, name string) string {
	t.Helper()
	pages, err := plan.Pages(p, plan.Compute(p, plan.Known{}))
	if err != nil {
		t.Fatal(err)
	}
	for _, page := range pages {
		if page.Name == name {
			return string(page.HTML)
		}
	}
	t.Fatalf("there is no page %s", name)
	return ""
}

// The log that is written by hand is read by the day's log: what the shot sheet
// gives as an example is.
func TestThePaperLogIsRead(t *testing.T) {
	sheet := page(t, demo.Before(), "shot-sheet")
	_, log, _ := strings.Cut(sheet, "<h2>Log</h2>")
	var rows []string
	for _, m := range regexp.MustCompile(`<b>([^<]*)</b>`).FindAllStringSubmatch(log, -1) {
		rows = append(rows, html.UnescapeString(m[1]))
	}
	if len(rows) != 3 {
		t.Fatalf("examples: %q", rows)
	}
	entries, err := daylog.ParsePaper(strings.Join(rows, "\n"), 0)
	if err != nil || len(entries) != 5 { // 3, 5 to 7, 8
		t.Errorf("%d entries, %v", len(entries), err)
	}
}

// The cautions stand on the pages where they matter, in the words of the light
// room, and what is typed cannot break a page.
func TestPagesCautionAndEscape(t *testing.T) {
	p := demo.Before()
	p.Setups[0].Why = `<script>alert("x")</script>`
	p.Practicals[0].Name = `<b>&`
	for name, want := range map[string]string{
		"room-and-light": "licensed electrician", "call-sheet": "keep exits", "charge-list": "in cases", "packing-list": "Nothing is draped",
	} {
		if text := page(t, p, name); !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
			t.Errorf("%s does not say %q", name, want)
		}
	}
	for _, name := range []string{"shot-sheet", "room-and-light"} {
		if text := page(t, p, name); strings.Contains(text, "<script") || strings.Contains(text, "<b>&<") {
			t.Errorf("%s holds what was typed as it is", name)
		}
	}
}

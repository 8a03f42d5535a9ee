package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"takeweave/internal/job"
)

// progress returns a Progress that shows on the error stream: one line that
// renews itself on a terminal, plain lines elsewhere, JSON lines with --json.
// end must be called; it leaves the stream at the start of a line.
func (a *app) progress() (p *job.Progress, end func()) {
	switch {
	case a.json:
		enc := json.NewEncoder(a.errs)
		return job.NewProgress(func(e job.Event) { _ = enc.Encode(e) }), func() {}
	case isTerminal(a.errs):
		t := &terminalLine{out: a.errs}
		return job.NewProgress(t.show), t.end
	default:
		l := &plainLines{out: a.errs, told: map[string]time.Time{}}
		return job.NewProgress(l.show), func() {}
	}
}

// terminalLine renews one line.
type terminalLine struct {
	out  io.Writer
	open bool
}

func (t *terminalLine) show(e job.Event) {
	fmt.Fprintf(t.out, "\r\x1b[K%s", clip(inWords(e), 78))
	t.open = true
	if e.Ended {
		t.end()
	}
}

func (t *terminalLine) end() {
	if t.open {
		fmt.Fprintln(t.out)
		t.open = false
	}
}

func clip(s string, n int) string {
	r := []rune(s)
	if len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}

// plainLines writes a line when a stage begins, ends, and every ten seconds.
type plainLines struct {
	out  io.Writer
	told map[string]time.Time
}

func (l *plainLines) show(e job.Event) {
	last, begun := l.told[e.Stage]
	if begun && !e.Ended && time.Since(last) < 10*time.Second {
		return
	}
	l.told[e.Stage] = time.Now()
	if e.Ended {
		delete(l.told, e.Stage)
	}
	fmt.Fprintln(l.out, inWords(e))
}

// inWords is a stage as a line: "lineup   3.2 of 8.0 min of footage, about 12 s left".
func inWords(e job.Event) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%-9s ", e.Stage)
	digits := 0
	if e.Total < 100 && e.Unit != "%" {
		digits = 1
	}
	switch {
	case e.Unit == "%":
		fmt.Fprintf(&b, "%.0f %%", e.Done)
	case e.Total > 0:
		fmt.Fprintf(&b, "%.*f of %.*f %s", digits, min(e.Done, e.Total), digits, e.Total, e.Unit)
	}
	switch {
	case e.Ended:
		return strings.TrimRight(b.String(), " ")
	case e.Total > 0 && e.Done >= e.Total*0.9999:
		b.WriteString(", finishing")
	case e.Remaining >= 0:
		fmt.Fprintf(&b, ", about %s left", roughly(e.Remaining))
	}
	if e.Note != "" {
		fmt.Fprintf(&b, ", %s", e.Note)
	}
	return b.String()
}

// roughly rounds a time to what an estimate can promise.
func roughly(seconds float64) string {
	switch {
	case seconds < 10:
		return fmt.Sprintf("%.0f s", seconds+0.5)
	case seconds < 100:
		return fmt.Sprintf("%.0f s", 5*float64(int(seconds/5+0.5)))
	case seconds < 5400:
		return fmt.Sprintf("%.0f min", seconds/60)
	default:
		return fmt.Sprintf("%.1f h", seconds/3600)
	}
}

package house

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// machine matches what tells of one particular machine: absolute paths of a
// person's or a build machine's folders, and hosts that serve packages. The
// pieces are put together here so that this file does not match itself.
var machine = regexp.MustCompile(strings.Join([]string{
	`(^|[\s"'(=:` + "`" + `])/(work|tmp|root|home|Users)/`,
	`[A-Za-z]:\\Users\\`,
	`proxy` + `\.golang\.org`,
	`registry` + `\.npmjs\.org`,
	`files` + `\.pythonhosted\.org`,
	`(?i)seed` + `[ -]document`,
}, "|"))

// quoted are texts of others, kept as they are.
var quoted = map[string]bool{"LICENSE": true, "docs/notices.md": true}

func TestNothingTellsOfAMachine(t *testing.T) {
	looked := 0
	for _, p := range theTree(t).paths {
		if strings.HasSuffix(p, ".gz") || strings.HasSuffix(p, ".MP4") || strings.HasSuffix(p, ".flac") {
			continue // not text, and large
		}
		text := read(t, p)
		if quoted[p] || !utf8.ValidString(text) || strings.HasPrefix(p, "internal/house/words_test") {
			continue
		}
		looked++
		for i, line := range strings.Split(text, "\n") {
			if m := machine.FindString(line); m != "" {
				t.Errorf("%s:%d: %q does not belong into the sources", p, i+1, strings.TrimSpace(m))
			}
		}
	}
	if looked < 20 {
		t.Errorf("only %d files were looked at", looked)
	}
}

func TestMachine(t *testing.T) {
	for _, c := range []struct {
		line string
		want bool
	}{
		{`open("/` + `tmp/x")`, true},
		{`see /` + `work/notes`, true},
		{`C:` + `\Users\nell`, true},
		{`docs/` + `work/notes`, false},
		{`https://example.org/` + `home/page`, false},
		{"`go env GOMODCACHE`", false},
	} {
		if got := machine.MatchString(c.line); got != c.want {
			t.Errorf("%q matches %v, want %v", c.line, got, c.want)
		}
	}
}

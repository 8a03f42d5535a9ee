package interchange

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

// Cue is one caption of a WebVTT file, in seconds of the film.
type Cue struct {
	ID       string // "" when it has none
	From, To film.SongTime
	Rows     []string // plain text
	Top      bool     // shown in the upper half of the picture
}

// WriteWebVTT writes cues as a WebVTT file. A cue that ends before it begins (in
// whole milliseconds), begins before the one in front of it, or has no text, and
// an identifier with a line break or an arrow, are errors.
//
// Source: [WEBVTT], section 4, syntax.
func WriteWebVTT(w io.Writer, cues []Cue) error {
	var b bytes.Buffer
	b.WriteString("WEBVTT\n")
	var before int64
	for i, c := range cues {
		from, to := milliseconds(c.From), milliseconds(c.To)
		var rows []string
		for _, r := range c.Rows {
			if r = strings.TrimSpace(r); r != "" { // a blank row would end the cue
				rows = append(rows, escaper.Replace(r))
			}
		}
		switch {
		case from < before:
			return fmt.Errorf("caption %d begins before the one in front of it", i+1)
		case to <= from:
			return fmt.Errorf("caption %d ends before it begins", i+1)
		case len(rows) == 0:
			return fmt.Errorf("caption %d has no text", i+1)
		case strings.ContainsAny(c.ID, "\r\n\x00") || strings.Contains(c.ID, "-->"):
			return fmt.Errorf("caption %d has an identifier that cannot be written", i+1)
		}
		before = from
		b.WriteString("\n")
		if c.ID != "" {
			b.WriteString(c.ID + "\n")
		}
		fmt.Fprintf(&b, "%s --> %s", timestamp(from), timestamp(to))
		if c.Top {
			b.WriteString(" line:0")
		}
		b.WriteString("\n" + strings.Join(rows, "\n") + "\n")
	}
	_, err := w.Write(b.Bytes())
	return err
}

// escaper makes text safe; a row break in a row would be one of the cue.
var escaper = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\r\n", " ", "\n", " ", "\r", " ", "\x00", "\ufffd")

// unescaper undoes it, with the other names that cue text knows.
var unescaper = strings.NewReplacer("&amp;", "&", "&lt;", "<", "&gt;", ">", "&nbsp;", "\u00a0", "&lrm;", "\u200e", "&rlm;", "\u200f")

func milliseconds(t film.SongTime) int64 { return int64(math.Round(float64(t) * 1000)) }

func timestamp(ms int64) string {
	return fmt.Sprintf("%02d:%02d:%02d.%03d", ms/3600000, ms/60000%60, ms/1000%60, ms%1000)
}

// ReadWebVTT reads the cues of a WebVTT file. Regions, styles and notes are
// passed over, tags within the text are taken off. A file that does not follow
// the syntax gives a *film.Error with CodeUnreadable that names the line.
//
// Source: [WEBVTT], section 4, syntax.
func ReadWebVTT(r io.Reader, path string) ([]Cue, error) {
	raw, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, err
	}
	refuse := func(line int, why string) error {
		return &film.Error{Code: film.CodeUnreadable, Path: path, Msg: fmt.Sprintf("line %d: %s", line+1, why), Hint: "use a WebVTT file as captions are written with"}
	}
	if len(raw) > maxBytes {
		return nil, refuse(0, "the file is too large for captions")
	}
	text := strings.TrimPrefix(strings.ToValidUTF8(string(raw), "\ufffd"), "\ufeff")
	lines := strings.Split(breaks.Replace(text), "\n")
	if rest, ok := strings.CutPrefix(lines[0], "WEBVTT"); !ok || (rest != "" && rest[0] != ' ' && rest[0] != '\t') {
		return nil, refuse(0, "a WebVTT file begins with the word WEBVTT")
	}
	if len(lines) > 1 && lines[1] != "" {
		return nil, refuse(1, "a blank line is wanted after the first")
	}
	var cues []Cue
	for i := 1; i < len(lines); {
		if lines[i] == "" {
			i++
			continue
		}
		first := i
		for i < len(lines) && lines[i] != "" {
			i++
		}
		c, line, why := readCue(lines[first:i])
		switch {
		case why != "":
			return nil, refuse(first+line, why)
		case c == nil:
			continue
		case len(cues) > 0 && c.From < cues[len(cues)-1].From:
			return nil, refuse(first, "a caption begins before the one in front of it")
		}
		cues = append(cues, *c)
	}
	return cues, nil
}

var breaks = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\x00", "\ufffd")

var (
	notACue = regexp.MustCompile(`^(NOTE|STYLE|REGION)([ \t]|$)`)
	timing  = regexp.MustCompile(`^[ \t]*(\S+)[ \t]+-->[ \t]+(\S+)(.*)$`)
	instant = regexp.MustCompile(`^(?:(\d{2,6}):)?([0-5]\d):([0-5]\d)\.(\d{3})$`)
	setting = regexp.MustCompile(`(?:^|[ \t])line:(-?\d+(?:\.\d+)?)(%?)`)
	tag     = regexp.MustCompile(`<[^>]*>`)
)

// readCue reads a block of lines without a blank one. It returns nil for one that
// is not a cue, and why, with the line in the block, for one that is broken.
func readCue(block []string) (c *Cue, line int, why string) {
	c = &Cue{}
	if !strings.Contains(block[0], "-->") {
		if notACue.MatchString(block[0]) {
			return nil, 0, ""
		}
		if len(block) < 2 {
			return nil, 0, "a caption has no times"
		}
		c.ID, line = block[0], 1
	}
	m := timing.FindStringSubmatch(block[line])
	if m == nil {
		return nil, line, "two times with an arrow between are wanted, as in 00:01.000 --> 00:04.000"
	}
	from, fromOK := parseInstant(m[1])
	to, toOK := parseInstant(m[2])
	switch {
	case !fromOK || !toOK:
		return nil, line, "a time is written as hours:minutes:seconds.thousandths, each with all its digits"
	case to <= from:
		return nil, line, "a caption ends before it begins"
	}
	c.From, c.To = from, to
	if s := setting.FindStringSubmatch(m[3]); s != nil {
		at, _ := strconv.ParseFloat(s[1], 64)
		c.Top = at >= 0 && !strings.HasPrefix(s[1], "-") && (s[2] == "" || at < 50) // a row counted from the top, or a share of the height
	}
	for i, row := range block[line+1:] {
		if strings.Contains(row, "-->") {
			return nil, line + 1 + i, "the text of a caption has an arrow in it: a blank line may be missing"
		}
		if row = strings.TrimSpace(unescaper.Replace(tag.ReplaceAllString(row, ""))); row != "" {
			c.Rows = append(c.Rows, row)
		}
	}
	if len(c.Rows) == 0 {
		return nil, 0, "" // nothing to show
	}
	return c, 0, ""
}

func parseInstant(s string) (film.SongTime, bool) {
	m := instant.FindStringSubmatch(s)
	if m == nil {
		return 0, false
	}
	var part [4]int64
	for i, digits := range m[1:] {
		part[i], _ = strconv.ParseInt(digits, 10, 64) // hours that are left out are 0
	}
	return film.SongTime(float64((part[0]*3600+part[1]*60+part[2])*1000+part[3]) / 1000), true
}

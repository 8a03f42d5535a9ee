package daylog

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"takeweave/internal/film"
)

const minuteMS, dayMS = 60_000, 24 * 60 * 60_000

// The words of a paper log. A line is one pass or a run of them, its words in
// any order: "3 face 14:32 keep", "5-7 hands V2.3 loop perhaps", "k".
var (
	paperNumbers = regexp.MustCompile(`^(\d{1,3})(?:-(\d{1,3}))?[.:]?$`)
	paperTime    = regexp.MustCompile(`^([01]?\d|2[0-3])[:h]([0-5]\d)$`)
	paperLines   = regexp.MustCompile(`^[A-Za-z]+\d*\.\d+(/\d+)?(-[A-Za-z0-9./]+)?$`)
	paperSection = regexp.MustCompile(`^[A-Za-z]+\d+(-[A-Za-z]+\d+)?$`)
	paperVerdict = map[string]Verdict{
		"keep": Keep, "k": Keep, "+": Keep,
		"perhaps": Perhaps, "p": Perhaps, "?": Perhaps,
		"lost": Lost, "l": Lost, "x": Lost,
	}
	paperVoice = map[string]Voice{"half": HalfVoice, "silent": NoVoice}
)

// ParsePaper reads a log kept on paper, one line a pass, in the order of the
// day. What a line leaves out is taken over: the number counts on, the setup
// stays. A note comes after "#"; empty lines are skipped. Times are hours and
// minutes of the day that began at midnightMS. It returns the entries of all
// good lines, and an error that names every bad one with what to do.
func ParsePaper(text string, midnightMS int64) ([]Entry, error) {
	var out []Entry
	var bad []error
	p := paper{midnightMS: midnightMS, used: map[int]int{}}
	for i, line := range strings.Split(text, "\n") {
		entries, err := p.line(line, i+1)
		if err != nil {
			bad = append(bad, &film.Error{
				Code: film.CodeUsage, Msg: fmt.Sprintf("line %d, %q: %s", i+1, strings.TrimSpace(line), err),
				Hint: `write a pass as "3 face 14:32 keep", a run as "5-7 hands V2.3 loop perhaps", a note after #`,
			})
		}
		out = append(out, entries...)
	}
	return out, errors.Join(bad...)
}

// paper is what the lines so far have told.
type paper struct {
	midnightMS int64
	number     int         // of the last pass
	setup      string      // of the last pass
	lastMS     int64       // the last time of day
	used       map[int]int // number: its line
}

// line reads one line.
func (p *paper) line(line string, at int) ([]Entry, error) {
	words, note, _ := strings.Cut(line, "#")
	if strings.TrimSpace(words) == "" {
		return nil, nil
	}
	r, err := readWords(strings.Fields(strings.NewReplacer(",", " ", ";", " ").Replace(words)))
	if err != nil {
		return nil, err
	}
	first := cmp.Or(r.first, p.number+1)
	through := cmp.Or(r.through, first)
	if through < first {
		return nil, fmt.Errorf("the run %d-%d goes backwards", first, through)
	}
	for n := first; n <= through; n++ {
		if before := p.used[n]; before > 0 {
			return nil, fmt.Errorf("pass %d is on line %d already", n, before)
		}
	}
	e := r.entry
	e.Setup = cmp.Or(e.Setup, p.setup)
	if e.Setup == "" {
		return nil, errors.New("the first pass needs a setup")
	}
	if r.hasTime {
		e.RollingMS = p.midnightMS + r.timeMS
		if e.RollingMS < p.lastMS-dayMS/2 { // past midnight
			e.RollingMS += dayMS
		}
		p.lastMS = e.RollingMS
	}
	if note = strings.TrimSpace(note); note != "" {
		e.Notes = []string{note}
	}
	var out []Entry
	for n := first; n <= through; n++ {
		p.used[n], p.number, p.setup = at, n, e.Setup
		e.ID, e.Number = fmt.Sprintf("paper-%d", n), n
		out = append(out, e)
		e.RollingMS, e.Notes = 0, nil // of the first of a run only
	}
	return out, nil
}

// paperLine is what the words of one line say.
type paperLine struct {
	first, through int
	hasTime        bool
	timeMS         int64
	entry          Entry
}

// readWords tells the words of a line apart by their looks.
func readWords(words []string) (paperLine, error) {
	r := paperLine{entry: Entry{Origin: Later}}
	looped := false
	for _, w := range words {
		low := strings.ToLower(w)
		verdict, isVerdict := paperVerdict[low]
		voice, isVoice := paperVoice[low]
		var err error
		switch {
		case isVerdict:
			err = once(&r.entry.Verdict, verdict, "verdicts")
		case isVoice:
			err = once(&r.entry.Voice, voice, "voices")
		case low == "loop":
			looped = true
		case paperTime.MatchString(low):
			m := paperTime.FindStringSubmatch(low)
			hours, _ := strconv.ParseInt(m[1], 10, 64)
			minutes, _ := strconv.ParseInt(m[2], 10, 64)
			if r.hasTime {
				err = errors.New("there are two times")
			}
			r.hasTime, r.timeMS = true, (hours*60+minutes)*minuteMS
		case paperNumbers.MatchString(w):
			m := paperNumbers.FindStringSubmatch(w)
			number, _ := strconv.Atoi(m[1])
			if r.through, _ = strconv.Atoi(m[2]); number == 0 {
				err = errors.New("pass numbers begin at 1")
			}
			err = cmp.Or(err, once(&r.first, number, "pass numbers"))
		case paperLines.MatchString(w):
			err = once(&r.entry.Lines, w, "places in the song")
		case w[0] >= '0' && w[0] <= '9':
			err = fmt.Errorf("%q is neither a pass number from 1 to 999 nor a time such as 14:32", w)
		case looped && r.entry.Lines == "" && paperSection.MatchString(w):
			r.entry.Lines = w // "loop V2"
		default:
			err = once(&r.entry.Setup, w, "setups")
		}
		if err != nil {
			return paperLine{}, err
		}
	}
	if looped && r.entry.Lines == "" {
		return paperLine{}, errors.New(`a loop needs its lines after it, such as "loop V2.3"`)
	}
	return r, nil
}

// once sets what a line may say one time only.
func once[T comparable](to *T, value T, what string) error {
	var none T
	if *to != none {
		return fmt.Errorf("there are two %s, %v and %v", what, *to, value)
	}
	*to = value
	return nil
}

// AddEvents returns the events that add entries to the log, in their order: the
// phone's counter goes on from count.
func AddEvents(entries []Entry, phone string, count, nowMS int64) []Event {
	var out []Event
	after := ""
	for i, e := range entries {
		id := phone + "/" + e.ID
		out = append(out, Event{
			ID: id + "/add", Phone: phone, Count: count + int64(i) + 1, At: nowMS, Kind: Add, Entry: id, After: after,
			Number: e.Number, Setup: e.Setup, RollingMS: e.RollingMS, CutMS: e.CutMS, Verdict: e.Verdict,
			Lines: e.Lines, Voice: e.Voice, Text: strings.Join(e.Notes, "; "),
		})
		after = id
	}
	return out
}

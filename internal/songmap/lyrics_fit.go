package songmap

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// What it costs when a text and the sections of a record do not match. The
// weights are our own, set by the songs of lyrics_test.go: a verse goes rather
// over two sections that fit together than on one twice as full.
const (
	unevenText  = 2.0 // a section with half or twice the lines of text that are usual in this song
	bareSection = 1.0 // a section without text
	bareEdge    = 0.5 // the first or the last section without text: songs begin and end played
	midVerse    = 1.0 // a section that begins within a verse
	sharedPart  = 0.7 // a verse that begins within a section
	otherPart   = 0.5 // for each line of text on a part unlike the others of its kind
	lostLine    = 6.0 // a line of text that is not laid
	otherPace   = 0.8 // two lines of text on every line of the song, or one on every other

	mostTexts = 2 // lines of text on one line of the song
)

// sungLine is a line of text on its way to a line of the song.
type sungLine struct {
	text   string
	kind   int // of verse
	starts bool
}

// layLyrics lays verses in their order on the lines of the song so that they
// begin with sections, that verses of a kind get sections of one letter, and that
// lines are evenly full.
func layLyrics(d *draft, verses []verse) laid {
	kinds := kindsOf(verses)
	var lines []sungLine
	for v, vs := range verses {
		for i, text := range vs.lines {
			lines = append(lines, sungLine{text, kinds[v], i == 0})
		}
	}
	perSection := make([]int, len(d.Sections))
	for _, l := range d.Lines {
		perSection[l.Section]++
	}
	// Which letter is which kind of verse is not known: every guess at one pair is
	// tried, the others follow from what comes out.
	best := fitting{cost: math.Inf(1)}
	for _, pace := range []float64{0.5, 1, 2} {
		f := fitter{lines: lines, sections: d.Sections, room: perSection, pace: pace}
		try := func(part map[int]string) {
			for range 3 {
				fit := f.fit(part)
				part = f.partsOf(fit.taken)
				fit.cost = f.cost(fit.taken, part)
				if fit.cost < best.cost {
					best = fit
				}
			}
		}
		try(nil)
		for _, kind := range repeated(kinds) {
			for _, letter := range lettersOf(d.Sections) {
				try(map[int]string{kind: letter})
			}
		}
	}
	out := laid{texts: make([][]string, len(d.Lines))}
	next, first := 0, 0
	for s, room := range perSection {
		for ; next < best.taken[s][0]; next++ {
			out.left = append(out.left, lines[next].text)
		}
		n := best.taken[s][1] - next
		for k := range n {
			at := first + k*room/n
			out.texts[at] = append(out.texts[at], lines[next+k].text)
		}
		next += n
		first += room
	}
	for ; next < len(lines); next++ {
		out.left = append(out.left, lines[next].text)
	}
	return out
}

// repeated returns the numbers that occur more than once.
func repeated(kinds []int) []int {
	var out []int
	for i, k := range kinds {
		if slices.Contains(kinds[:i], k) && !slices.Contains(out, k) {
			out = append(out, k)
		}
	}
	return out
}

func lettersOf(sections []film.Section) []string {
	var out []string
	for _, s := range sections {
		if !slices.Contains(out, s.Letter) {
			out = append(out, s.Letter)
		}
	}
	return out
}

// fitter lays lines of text on sections at a pace, the lines of text on each
// line of the song.
type fitter struct {
	lines    []sungLine
	sections []film.Section
	room     []int // lines of each section
	pace     float64
}

// fitting is which lines of text, [from, to), each section takes.
type fitting struct {
	taken [][2]int
	cost  float64
}

// fit returns the cheapest fitting by dynamic programming over the sections,
// when part says which letter a kind of verse has.
func (f *fitter) fit(part map[int]string) fitting {
	n := len(f.lines)
	before := f.count(part)
	best := make([]float64, n+1) // with so many lines of text laid or lost
	for i := range best {
		best[i] = lostLine * float64(i)
	}
	back := make([][][2]int, len(f.sections))
	for s := range f.sections {
		next := make([]float64, n+1)
		back[s] = make([][2]int, n+1)
		for i := range next {
			next[i] = math.Inf(1)
		}
		for from := range n + 1 {
			for to := from; to <= min(n, from+mostTexts*f.room[s]); to++ {
				if v := best[from] + f.section(s, from, to, before); v < next[to] {
					next[to], back[s][to] = v, [2]int{from, to}
				}
			}
		}
		for i := 1; i <= n; i++ { // lines lost behind the section
			if v := next[i-1] + lostLine; v < next[i] {
				next[i], back[s][i] = v, back[s][i-1]
			}
		}
		best = next
	}
	out := fitting{taken: make([][2]int, len(f.sections))}
	at := n
	for s := len(f.sections) - 1; s >= 0; s-- {
		out.taken[s] = back[s][at]
		at = out.taken[s][0]
	}
	return out
}

// cost returns what a fitting costs.
func (f *fitter) cost(taken [][2]int, part map[int]string) float64 {
	sum := otherPace * math.Abs(math.Log2(f.pace))
	lost := len(f.lines)
	before := f.count(part)
	for s, t := range taken {
		sum += f.section(s, t[0], t[1], before)
		lost -= t[1] - t[0]
	}
	return sum + lostLine*float64(lost)
}

// counts are, for each line of text, how many before it begin a verse, and how
// many are of a kind that has another letter than the key.
type counts struct {
	starts []int
	others map[string][]int
}

func (f *fitter) count(part map[int]string) counts {
	out := counts{starts: []int{0}, others: map[string][]int{}}
	for i, l := range f.lines {
		out.starts = append(out.starts, out.starts[i])
		if l.starts {
			out.starts[i+1]++
		}
	}
	for _, letter := range lettersOf(f.sections) {
		n := []int{0}
		for i, l := range f.lines {
			n = append(n, n[i])
			if p := part[l.kind]; p != "" && p != letter {
				n[i+1]++
			}
		}
		out.others[letter] = n
	}
	return out
}

// section returns what it costs to sing lines [from, to) in section s.
func (f *fitter) section(s, from, to int, before counts) float64 {
	if from == to {
		if s == 0 || s == len(f.sections)-1 {
			return bareEdge
		}
		return bareSection
	}
	sum := unevenText * math.Abs(math.Log2(float64(to-from)/(f.pace*float64(f.room[s]))))
	if !f.lines[from].starts {
		sum += midVerse
	}
	sum += sharedPart * float64(before.starts[to]-before.starts[from+1])
	others := before.others[f.sections[s].Letter]
	return sum + otherPart*float64(others[to]-others[from])
}

// partsOf returns which letter each kind of verse has mostly.
func (f *fitter) partsOf(taken [][2]int) map[int]string {
	votes := map[int]map[string]int{}
	out := map[int]string{}
	for s, t := range taken {
		letter := f.sections[s].Letter
		for _, l := range f.lines[t[0]:t[1]] {
			if votes[l.kind] == nil {
				votes[l.kind] = map[string]int{}
			}
			votes[l.kind][letter]++
			if n := votes[l.kind][letter]; n > votes[l.kind][out[l.kind]] {
				out[l.kind] = letter
			}
		}
	}
	return out
}

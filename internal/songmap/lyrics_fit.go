package songmap

import (
	"math"
	"slices"

	"takeweave/internal/film"
)

// What it costs when a text and the sections of a record do not match. The
// weights are our own, set by the songs of lyrics_test.go and four invented songs
// whose words have known times (95 % of the sung time got its text, 83 % at worst,
// where Map had set the edges of lines elsewhere): a verse goes rather
// over two sections that fit together than into one of half its length.
const (
	crowdedText = 3.0 // a section of half the time that its text is usually sung in
	looseText   = 1.0 // one of twice that time: something is played in it as well
	bareSection = 1.0 // a section without text
	bareEdge    = 0.5 // the first or the last section without text: songs begin and end played
	midVerse    = 1.0 // a section that begins within a verse
	sharedPart  = 1.0 // a verse that begins within a section
	otherPart   = 0.5 // for each line of text on a part unlike the others of its kind
	lostLine    = 6.0 // a line of text that is not laid

	mostTexts   = 3   // lines of text on one line of the song
	sharedLine  = 0.6 // each of them behind the first, in shares of a line that lie well
	oneSyllable = 1   // every line of text takes so many syllables of time to breathe
)

// sungShares are how much of the music may be sung; each is tried.
var sungShares = []float64{0.4, 0.55, 0.7, 0.85, 1}

// sungLine is a line of text on its way to a line of the song.
type sungLine struct {
	text   string
	kind   int // of verse
	starts bool
}

// layLyrics lays verses in their order on the lines of the song so that they
// begin with sections, that verses of a kind get sections of one letter, and that
// syllables are sung evenly fast.
func layLyrics(d *draft, verses []verse) laid {
	kinds := kindsOf(verses)
	f := fitter{sections: d.Sections, room: make([]int, len(d.Sections)), sung: []float64{0}}
	for v, vs := range verses {
		for i, text := range vs.lines {
			f.lines = append(f.lines, sungLine{text, kinds[v], i == 0})
			syllable := 0.0
			for _, w := range wordsIn(text) {
				syllable += float64(syllables(w))
			}
			f.sung = append(f.sung, f.sung[len(f.sung)-1]+oneSyllable+syllable)
		}
	}
	for _, l := range d.Lines {
		f.room[l.Section]++
	}
	// Which letter is which kind of verse is not known: every guess at one pair is
	// tried, the others follow from what comes out.
	best := fitting{cost: math.Inf(1)}
	n := len(f.lines)
	for _, share := range sungShares {
		f.pace = share * d.Music.Len() / f.sung[n]
		try := func(part map[int]string) {
			var last fitting
			for range 3 {
				fit := f.fit(part)
				if slices.Equal(fit.taken, last.taken) {
					return
				}
				part = f.partsOf(fit.taken)
				fit.cost = f.cost(fit.taken, part)
				if fit.cost < best.cost {
					best = fit
				}
				last = fit
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
	for s, room := range f.room {
		from, to := best.taken[s][0], best.taken[s][1]
		for ; next < from; next++ {
			out.left = append(out.left, f.lines[next].text)
		}
		for k, at := range f.within(d.Lines[first:first+room], from, to) {
			out.texts[first+at] = append(out.texts[first+at], f.lines[from+k].text)
		}
		next = to
		first += room
	}
	for ; next < n; next++ {
		out.left = append(out.left, f.lines[next].text)
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

// fitter lays lines of text on sections.
type fitter struct {
	lines    []sungLine
	sung     []float64 // syllables before each line, and of all
	sections []film.Section
	room     []int   // lines of each section
	pace     float64 // seconds for a syllable
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
	var sum float64
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
	seconds := f.pace * (f.sung[to] - f.sung[from])
	crowded := math.Log2(seconds / f.sections[s].Span.Len())
	sum := math.Max(crowdedText*crowded, -looseText*crowded)
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

// within returns on which of the lines of a section each of the lines of text
// [from, to) goes: where most of it is sung when its syllables are sung evenly,
// rather one on each. There are mostTexts for each line at most.
func (f *fitter) within(lines []film.Line, from, to int) []int {
	k, n := to-from, len(lines)
	if k == 0 {
		return nil
	}
	section := film.SongSpan{From: lines[0].Span.From, To: lines[n-1].Span.To}
	at := func(i int) film.SongTime {
		return section.From + (section.To-section.From)*film.SongTime((f.sung[i]-f.sung[from])/(f.sung[to]-f.sung[from]))
	}
	// best[i][j]: the first i lines of text on the first j lines.
	best := make([][]float64, k+1)
	took := make([][]int, k+1)
	for i := range best {
		best[i], took[i] = make([]float64, n+1), make([]int, n+1)
		for j := range best[i] {
			if i > 0 {
				best[i][j] = math.Inf(-1)
			}
		}
	}
	for j, l := range lines {
		for i := range k + 1 {
			var well float64 // how well the last t lines of text lie on this line
			for t := 0; t <= min(i, mostTexts); t++ {
				if t > 0 {
					s := film.SongSpan{From: at(from + i - t), To: at(from + i - t + 1)}
					well += s.Overlap(l.Span) / s.Len()
				}
				if t > 1 {
					well -= sharedLine
				}
				if v := best[i-t][j] + well; v > best[i][j+1] {
					best[i][j+1], took[i][j+1] = v, t
				}
			}
		}
	}
	out := make([]int, k)
	for i, j := k, n; j > 0; j-- {
		for range took[i][j] {
			i--
			out[i] = j - 1
		}
	}
	return out
}

package coverage

import (
	"fmt"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// runs groups line indices that follow one another in one section.
func runs(song *film.Song, lines []int) (all [][]int) {
	for k, i := range lines {
		if k > 0 && i == lines[k-1]+1 && song.Lines[i].Section == song.Lines[i-1].Section {
			last := len(all) - 1
			all[last] = append(all[last], i)
			continue
		}
		all = append(all, []int{i})
	}
	return all
}

// SayLines returns the addresses of lines, given by rising index, those that
// follow one another together: "V2.3-4, C1.1".
func SayLines(song *film.Song, lines []int) string {
	var words []string
	for _, run := range runs(song, lines) {
		word := song.LineName(run[0])
		if len(run) > 1 {
			word += fmt.Sprintf("-%d", song.Lines[run[len(run)-1]].Number)
		}
		words = append(words, word)
	}
	return strings.Join(words, ", ")
}

// count says "1 line" or "3 lines".
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// places collects where needs are: lines by index, what no line holds by name.
type places struct {
	lines  []int // rising
	others []string
}

func (p *places) add(n *Need) {
	if n.Line < 0 {
		p.others = append(p.others, n.Name)
		return
	}
	if at, there := slices.BinarySearch(p.lines, n.Line); !there {
		p.lines = slices.Insert(p.lines, at, n.Line)
	}
}

// remove takes out the lines of others.
func (p *places) remove(others *places) {
	p.lines = slices.DeleteFunc(p.lines, func(line int) bool { return slices.Contains(others.lines, line) })
}

func (p *places) count() int { return len(p.lines) + len(p.others) }

// say returns the addresses, "" for none.
func (p *places) say(song *film.Song) string {
	words := p.others
	if len(p.lines) > 0 {
		words = append([]string{SayLines(song, p.lines)}, words...)
	}
	return strings.Join(words, ", ")
}

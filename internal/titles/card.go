package titles

import (
	"image"
	"math"
	"slices"
	"strings"

	"takeweave/internal/film"
)

// Card is a picture with alpha to be laid over a film. The bounds of Image say
// where in the film frame; outside of them the card is clear.
type Card struct {
	Image   *image.NRGBA
	Letters int // to be read
}

// Sizes of type as shares of the frame's shorter side. The smallest are those at
// which a film on a phone is read at arm's length. Source: common practice.
const (
	titleSize, leastTitle   = 0.088, 0.046
	artistSize, leastArtist = 0.05, 0.034
	nameSize, leastName     = 0.042, 0.03
	roleSize                = 0.029
)

// widestRow is how wide a row of a card may be, as a share of the shorter side:
// rows of more than about 45 characters are hard to follow. Source: common
// practice.
const widestRow = 1.3

// rowWidth returns how wide the rows of a card may be, in pixels.
func (p page) rowWidth() float64 {
	return min(p.safe.W*float64(p.width), widestRow*p.unit())
}

// Title returns the card with the song and its artist for a film of width ×
// height pixels, low at the left of the safe area. A long name is set in smaller
// type, then on more rows; the error, a *film.Error, says which words do not fit.
func Title(f *Facts, width, height int) (Card, error) {
	if err := f.Validate(); err != nil {
		return Card{}, err
	}
	p := newPage(width, height)
	u := p.unit()
	var b block
	if err := b.add(f.Title, style{medium, titleSize * u, leastTitle * u, 3}, bright, p.rowWidth()); err != nil {
		return Card{}, err
	}
	b.down += 0.016 * u
	b.rule(u)
	b.down += 0.014 * u
	if err := b.add(f.Artist, style{regular, artistSize * u, leastArtist * u, 2}, softer, p.rowWidth()); err != nil {
		return Card{}, err
	}
	bottom := (p.safe.Y+p.safe.H)*float64(height) - 0.03*u
	return p.card(&b, bottom-b.down, ground{0.03 * u, 0.9 * u, 0.42 * u})
}

// rule draws a short thin line below what is there.
func (b *block) rule(u float64) {
	top, thick := int(b.down), max(1, int(math.Round(0.0035*u)))
	b.rules = append(b.rules, image.Rect(0, top, int(0.075*u), top+thick))
	b.down += float64(thick)
}

// card draws a block as a card, y pixels from the top, at the left of the safe
// area.
func (p page) card(b *block, y float64, g ground) (Card, error) {
	if y < p.safe.Y*float64(p.height) {
		return Card{}, &film.Error{Code: film.CodeUsage, Msg: "the names are too long for one card", Hint: "shorten them"}
	}
	img, err := b.draw(p.safe.X*float64(p.width), y, g, p.frame())
	return Card{img, b.letters()}, err
}

// credit is a role with its names.
type credit struct {
	role  string
	names []string
}

// text returns the names as they are read.
func (c credit) text() string { return strings.Join(c.names, ", ") }

// credits returns what the facts say, in the order of the trade: those who wrote
// it, who recorded it, who filmed it, thanks.
func (f *Facts) credits() []credit {
	all := []credit{{f.Title, []string{f.Artist}}}
	for _, c := range []credit{
		{"Written by", f.Writers},
		{"Recorded by", given(f.Engineer)},
		{"Recording owned by", given(f.Owner)},
		{"Filmed by", f.FilmedBy},
		{"Place and date", given(f.Place, f.Date)},
		{"With thanks to", f.Thanks},
		{"Links", f.Links},
	} {
		if len(c.names) > 0 {
			all = append(all, c)
		}
	}
	return all
}

// given returns those facts that are not empty.
func given(facts ...string) []string {
	return slices.DeleteFunc(facts, func(s string) bool { return s == "" })
}

// Credits returns the cards at the end of a film, as many as the facts need, with
// the same errors as [Title].
func Credits(f *Facts, width, height int) ([]Card, error) {
	if err := f.Validate(); err != nil {
		return nil, err
	}
	p := newPage(width, height)
	blocks, err := p.creditBlocks(f.credits())
	if err != nil {
		return nil, err
	}
	everywhere := ground{float64(width + height), 1, 1}
	var cards []Card
	for i := range blocks {
		middle := (p.safe.Y + p.safe.H/2) * float64(height)
		card, err := p.card(&blocks[i], middle-blocks[i].down/2, everywhere)
		if err != nil {
			return nil, err
		}
		cards = append(cards, card)
	}
	return cards, nil
}

// creditBlocks sets credits one below the other, on as few blocks as the safe area
// asks for, of about equal height.
func (p page) creditBlocks(credits []credit) ([]block, error) {
	var parts []block
	for _, c := range credits {
		set, err := p.setCredit(c)
		if err != nil {
			return nil, err
		}
		parts = append(parts, set...)
	}
	full := p.safe.H * float64(p.height)
	blocks := p.stacked(parts, full)
	for limit := full; limit > 0; limit -= full / 20 {
		lower := p.stacked(parts, limit)
		if len(lower) > len(blocks) {
			break
		}
		blocks = lower
	}
	return blocks, nil
}

// stacked sets parts one below the other and begins a new block where one would be
// higher than limit.
func (p page) stacked(parts []block, limit float64) []block {
	between := 0.024 * p.unit()
	blocks := []block{parts[0]}
	for _, part := range parts[1:] {
		last := &blocks[len(blocks)-1]
		if last.down+between+part.down > limit {
			blocks = append(blocks, part)
			continue
		}
		last.down += between
		last.stack(part)
	}
	return blocks
}

// setCredit sets one credit, in two parts or more when there are many names.
func (p page) setCredit(c credit) ([]block, error) {
	u := p.unit()
	var b block
	if c.role != "" {
		if err := b.add(c.role, style{regular, roleSize * u, roleSize * u, 3}, softer, p.rowWidth()); err != nil {
			return nil, err
		}
	}
	err := b.add(c.text(), style{medium, nameSize * u, leastName * u, 4}, bright, p.rowWidth())
	half := len(c.names) / 2
	if err == nil || half == 0 {
		return []block{b}, err
	}
	first, err := p.setCredit(credit{c.role, c.names[:half]})
	if err != nil {
		return nil, err
	}
	second, err := p.setCredit(credit{"", c.names[half:]})
	return append(first, second...), err
}

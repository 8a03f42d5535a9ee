package optics

import "strings"

// Figure is a musician to scale.
type Figure struct {
	HeightM float64 `json:"height"` // standing
	SeatM   float64 `json:"seat"`   // the height of the seat; 0 stands
}

// Mark is a place on the body by its height above the floor.
type Mark struct {
	Name    string  `json:"name"`
	HeightM float64 `json:"height"`
}

// standing are heights of marks as shares of body height, from the top, and
// sitting height likewise. Source: [DrillisContini1966].
var standing = []Mark{
	{"head", 1},
	{"eyes", 0.936},
	{"chin", 0.870},
	{"shoulders", 0.818},
	{"elbows", 0.630},
	{"hips", 0.530},
	{"knees", 0.285},
	{"feet", 0},
}

const (
	sittingShare  = 0.520 // of body height, seat to top of the head
	shoulderShare = 0.259 // shoulders, across
	hipShare      = 0.191 // hips, across
	headShare     = 0.130 // the head is about as wide, with hair, as chin to top
)

// Marks returns the marks from the top down. Sitting, all from the hips up comes
// down together.
func (f Figure) Marks() []Mark {
	lower := 0.0
	if f.SeatM > 0 {
		lower = max(0, f.HeightM-f.SeatM-sittingShare*f.HeightM)
	}
	marks := make([]Mark, len(standing))
	for i, m := range standing {
		marks[i] = Mark{m.Name, m.HeightM * f.HeightM}
		if m.HeightM >= 0.5 {
			marks[i].HeightM -= lower
		}
	}
	return marks
}

// at returns the height of a named mark.
func (f Figure) at(name string) float64 {
	for _, m := range f.Marks() {
		if m.Name == name {
			return m.HeightM
		}
	}
	panic("optics: no mark " + name)
}

// Cut says what of a figure lies outside a kept frame, in words: "cuts head" or
// "cuts knees, feet"; "" when all is inside.
func (s Setup) Cut(f Figure, k Kept) string {
	var lost []string
	for _, m := range f.Marks() {
		y := s.yOf(m.HeightM)
		if y < k.Box.Y || y > k.Box.Y+k.Box.H {
			lost = append(lost, m.Name)
		}
	}
	if lost == nil {
		return ""
	}
	return "cuts " + strings.Join(lost, ", ")
}

// yOf returns where a height above the floor, at the subject, lies in the frame.
func (s Setup) yOf(heightM float64) float64 {
	_, frame := s.FrameM()
	return 0.5 - (heightM-s.AimM)/frame
}

// SizeName returns the trade's name of a shot by the share of a standing adult's
// height that the frame's height shows. The trade has no standard; the borders
// lie midway between the usual values. Source: common practice.
func SizeName(share float64) string {
	for _, s := range []struct {
		below float64
		name  string
	}{
		{0.15, "extreme close-up"},
		{0.25, "close-up"},
		{0.385, "medium close-up"},
		{0.575, "medium"},
		{0.83, "medium wide"},
		{3, "wide"},
	} {
		if share < s.below {
			return s.name
		}
	}
	return "extreme wide"
}

// SizeName returns the shot's name for a figure.
func (s Setup) SizeName(f Figure) string {
	_, height := s.FrameM()
	return SizeName(height / f.HeightM)
}

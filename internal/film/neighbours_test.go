package film

import "testing"

func TestCutTo(t *testing.T) {
	deg := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name string
		a, b Setup
		want Reads
	}{
		{"nothing known", Setup{}, Setup{Size: SizeMid}, ReadsUnsure},
		{"wide to close", Setup{Size: SizeWide}, Setup{Size: SizeClose}, ReadsAsChange},
		{"mid to mid, angles not known", Setup{Size: SizeMid}, Setup{Size: SizeMid}, ReadsAlike},
		{"29 degrees at one size", Setup{Size: SizeMid, AngleDeg: deg(10)}, Setup{Size: SizeMid, AngleDeg: deg(39)}, ReadsAsJump},
		{"30 degrees at one size", Setup{Size: SizeMid, AngleDeg: deg(10)}, Setup{Size: SizeMid, AngleDeg: deg(40)}, ReadsAsChange},
		{"across north", Setup{AngleDeg: deg(350)}, Setup{AngleDeg: deg(10)}, ReadsAsJump},
		{"across north by 40", Setup{AngleDeg: deg(-20)}, Setup{AngleDeg: deg(20)}, ReadsAsChange},
		{"one angle, other size", Setup{Size: SizeMid, AngleDeg: deg(0)}, Setup{Size: SizeClose, AngleDeg: deg(0)}, ReadsAsChange},
		{"measured sizes go before their names", Setup{Size: SizeMid, Magnify: 2}, Setup{Size: SizeClose, Magnify: 2.5}, ReadsAlike},
		{"one measured size alone says nothing", Setup{Size: SizeMid, Magnify: 2}, Setup{Size: SizeClose}, ReadsAsChange},
	} {
		if got := c.a.CutTo(c.b); got != c.want {
			t.Errorf("%s: got %d, want %d", c.name, got, c.want)
		}
		if got := c.b.CutTo(c.a); got != c.want {
			t.Errorf("%s, the other way: got %d, want %d", c.name, got, c.want)
		}
	}
}

package job

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
	"takeweave/internal/plan"
)

func TestSetupsTable(t *testing.T) {
	got, err := parseSetups(strings.NewReader("\ufeffSetup, shows ,size,serves,files\nwide,both,wide,A B,\nhands,Hands,close,,C006*.MP4 C0071.MP4\n,,,,\nroom\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := []setupRow{
		{Setup: film.Setup{Name: "wide", Shows: film.ShowsBoth, Size: film.SizeWide, Serves: []string{"A", "B"}}, files: []string{}},
		{Setup: film.Setup{Name: "hands", Shows: film.ShowsHands, Size: film.SizeClose, Serves: []string{}}, files: []string{"C006*.MP4", "C0071.MP4"}},
		{Setup: film.Setup{Name: "room", Serves: []string{}}, files: []string{}},
	}
	if d := cmp.Diff(want, got, cmp.AllowUnexported(setupRow{})); d != "" {
		t.Error(d)
	}
	for file, setup := range map[string]string{"day1/C0063.MP4": "hands", "C0071.MP4": "hands", "C0072.MP4": "", "face/C0072.MP4": "face", "DCIM/100MEDIA/C0001.MP4": "", "wide/C0001.MP4": "wide"} {
		if s := setupOf(file, got); s != setup {
			t.Errorf("setup of %s is %q, want %q", file, s, setup)
		}
	}
}

func TestSetupsTableOfAnglesAndSizes(t *testing.T) {
	got, err := parseSetups(strings.NewReader("setup,safety,angle,magnify\nwide,yes,-30,0.5\nface,no,,\n"))
	if err != nil {
		t.Fatal(err)
	}
	deg := -30.0
	want := []film.Setup{{Name: "wide", Serves: []string{}, Safety: true, AngleDeg: &deg, Magnify: 0.5}, {Name: "face", Serves: []string{}}}
	if d := cmp.Diff(want, []film.Setup{got[0].Setup, got[1].Setup}); d != "" {
		t.Error(d)
	}
}

func TestBadSetupsTablesAreRefusedWithTheRow(t *testing.T) {
	for name, in := range map[string]string{
		"no setup column":   "name,shows\nwide,both\n",
		"row 2: shows is":   "setup,shows\nwide,feet\n",
		"row 3: size is":    "setup,size\nwide,wide\nface,huge\n",
		"row 2: safety is":  "setup,safety\nwide,perhaps\n",
		"row 2: angle is":   "setup,angle\nwide,left\n",
		"row 2: magnify is": "setup,magnify\nwide,-1\n",
		"not a file name":   "setup,files\nwide,[\n",
		"extraneous or mis": "setup\n\"wide\n",
	} {
		want := name
		if name == "no setup column" {
			want = "no column is named setup"
		}
		if _, err := parseSetups(strings.NewReader(in)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q gave %v, want %q", in, err, want)
		}
	}
}

func TestWordsInASetupsName(t *testing.T) {
	for name, want := range map[string]film.Setup{
		"Safety wide":   {Shows: film.ShowsBoth, Size: film.SizeWide, Safety: true},
		"face 75mm":     {Shows: film.ShowsLips, Size: film.SizeClose},
		"hands-picking": {Shows: film.ShowsHands, Size: film.SizeClose},
		"B-cam":         {},
	} {
		want.Name = name
		if d := cmp.Diff(want, guessSetup(name)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

// A setup that was planned is known when its first clip comes; what the plan leaves
// open is guessed from the name.
func TestSetupsAreAsPlanned(t *testing.T) {
	angle := 35.0
	planned := []plan.Setup{{Setup: film.Setup{Name: "Face", Shows: film.ShowsLips, AngleDeg: &angle, Serves: []string{"A"}}}}
	got := asPlanned(planned, "face")
	if got.Name != "face" || got.Shows != film.ShowsLips || got.AngleDeg != &angle || len(got.Serves) != 1 {
		t.Errorf("the planned setup came as %+v", got)
	}
	if guess := guessSetup("face"); got.Size != guess.Size {
		t.Errorf("its size is %q, guessed from the name it is %q", got.Size, guess.Size)
	}
	if got, want := asPlanned(planned, "hands"), guessSetup("hands"); got.Shows != want.Shows || got.AngleDeg != nil {
		t.Errorf("a setup that was not planned came as %+v", got)
	}
}

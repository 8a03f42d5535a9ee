package checks

import "testing"

func TestTags(t *testing.T) {
	r := OfTags([]Tag{
		{"the rate", "25/1", "25/1"},
		{"the matrix", "bt470bg", "bt709"},
		{"the primaries", "", "bt709"},
	})
	want := []string{"the file says the matrix bt470bg instead of bt709", "the file does not say the primaries bt709"}
	if len(r.Findings) != len(want) {
		t.Fatalf("%+v", r.Findings)
	}
	for i, f := range r.Findings {
		if f.Kind != Tags || f.Words != want[i] {
			t.Errorf("%+v, want %q", f, want[i])
		}
	}
	if len(r.Checked) != 1 || r.Checked[0] != Tags {
		t.Errorf("checked %v", r.Checked)
	}
}

package acceptance

import (
	"bytes"
	"encoding/json"
	"math"
	"net/http"
	"testing"

	"takeweave/internal/look"
)

// post asks the program as the page does, with a body.
func post(t *testing.T, address, path string, body, answer any) {
	t.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.Post(address+path, "application/json", bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusOK {
		t.Fatalf("%s: %s", path, res.Status)
	}
	if err := json.NewDecoder(res.Body).Decode(answer); err != nil {
		t.Fatal(err)
	}
}

// A setup that is matched to itself, as a trim shows it, gets that very trim; and a
// grey card is read where and when it is said to be seen.
func TestSetupsAreMatched(t *testing.T) {
	address := serve(t, sheetFilm(t))
	trim := look.Trim{ExposureStops: 0.4, TemperatureMired: -18, Tint: 3}
	var decided struct{}
	post(t, address, "api/decide", map[string]any{"do": "trim", "of": "face", "trim": trim}, &decided)

	var m look.Match
	post(t, address, "api/match", map[string]any{"setup": "face", "to": "face", "by": "moment"}, &m)
	if near(m.Trim.ExposureStops, trim.ExposureStops, 0.03) && near(m.Trim.TemperatureMired, trim.TemperatureMired, 3) && near(m.Trim.Tint, trim.Tint, 1) {
		t.Logf("found %+v, %.2f apart without it, %.2f with it", m.Trim, m.Before.Mean, m.After.Mean)
	} else {
		t.Errorf("found %+v, want %+v", m.Trim, trim)
	}
	if m.Before.Mean < 2 || m.After.Mean > 0.3 {
		t.Errorf("%.2f apart without the trim, %.2f with it", m.Before.Mean, m.After.Mean)
	}

	// The same part of the same picture, read by FFmpeg alone.
	const at, x, y, w, h = 6, 128, 72, 64, 36
	pix := native(t, "ffmpeg", "-v", "error", "-ss", "6", "-i", practice(t, "day01", "C0066.MP4"), "-frames:v", "1", "-vf", "scale=320:180,crop=64:36:128:72,format=rgb24", "-f", "rawvideo", "-")
	var mean look.RGB
	for i, v := range pix {
		mean[i%3] += float64(v) / 255 / (w * h)
	}
	want, err := look.MatchGrey(look.BT709, mean, look.Grey18)
	if err != nil {
		t.Fatal(err)
	}
	post(t, address, "api/match", map[string]any{
		"setup": "wide", "by": "grey", "pass": "wide/C0066.MP4", "at_s": at,
		"box": look.Box{X: x / 320.0, Y: y / 180.0, W: w / 320.0, H: h / 180.0},
	}, &m)
	if !near(m.Trim.ExposureStops, want.Trim.ExposureStops, 0.05) || !near(m.Trim.TemperatureMired, want.Trim.TemperatureMired, 5) || !near(m.Trim.Tint, want.Trim.Tint, 2) {
		t.Errorf("the card asks for %+v, want %+v", m.Trim, want.Trim)
	}
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

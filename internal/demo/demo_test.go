package demo

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"takeweave/internal/film"
	"takeweave/internal/media"
)

func TestSameSeedSameDay(t *testing.T) {
	tell := func(seed uint64) (truth []byte, record, pass []float32) {
		d := playDay(Options{Seed: seed})
		truth, err := json.Marshal(d.truth())
		if err != nil {
			t.Fatal(err)
		}
		left, right := d.recordSound()
		for i := range d.takes {
			if d.takes[i].plan.kind == KindOtherSong { // a short one
				pass, _ = d.takes[i].sound(left, right)
			}
		}
		return truth, left, pass
	}
	truth1, record1, pass1 := tell(5)
	truth2, record2, pass2 := tell(5)
	if string(truth1) != string(truth2) || !slices.Equal(record1, record2) || !slices.Equal(pass1, pass2) {
		t.Error("the same seed gave two different days")
	}
	truth3, record3, _ := tell(6)
	if string(truth1) == string(truth3) || slices.Equal(record1, record3) {
		t.Error("another seed gave the same day")
	}
}

// TestRecordIsFitToHear: about -16 LUFS, no sample near full scale, and neither
// start nor end is a click.
func TestRecordIsFitToHear(t *testing.T) {
	// The meter first: 997 Hz at full scale in one channel reads -3.01 LUFS. Source: ITU-R BS.1770-4, Annex 1.
	tone := make([]float32, 3*sampleRate)
	for i := range tone {
		tone[i] = float32(math.Sin(2 * math.Pi * 997 * float64(i) / sampleRate))
	}
	if got := lufs(tone, make([]float32, len(tone))); math.Abs(got+3.01) > 0.02 {
		t.Fatalf("the meter reads %.3f LUFS of a tone of -3.01", got)
	}
	d := playDay(Options{})
	left, right := d.recordSound()
	if s := float64(len(left)) / sampleRate; s < 60 || s > 75 {
		t.Errorf("the record lasts %.1f s", s)
	}
	if got := lufs(left, right); math.Abs(got+16) > 1 { // a unit is the usual tolerance of delivery (common practice)
		t.Errorf("the record is %.2f LUFS, want about -16", got)
	}
	for _, c := range [][]float32{left, right} {
		peak := 0.0
		for _, v := range c {
			peak = math.Max(peak, math.Abs(float64(v)))
		}
		if peak > 0.95 || peak < 0.4 {
			t.Errorf("peak %.2f, want 0.4 to 0.95", peak)
		}
		if math.Abs(float64(c[0])) > 1e-4 || math.Abs(float64(c[len(c)-1])) > 0.003 {
			t.Errorf("it begins at %v and ends at %v", c[0], c[len(c)-1])
		}
	}
}

// lufs is the gated loudness of two channels at 48 kHz, in blocks that do not
// overlap. Source: ITU-R BS.1770-4, Annex 1, tables 1 and 2 (coefficients from memory).
func lufs(channels ...[]float32) float64 {
	const block = sampleRate * 4 / 10
	power := make([]float64, len(channels[0])/block)
	for _, c := range channels {
		var x, y, z [3]float64 // input, after the shelf, after the high-pass
		for i, v := range c {
			x = [3]float64{float64(v), x[0], x[1]}
			y = [3]float64{1.53512485958697*x[0] - 2.69169618940638*x[1] + 1.19839281085285*x[2] + 1.69065929318241*y[0] - 0.73248077421585*y[1], y[0], y[1]}
			z = [3]float64{y[0] - 2*y[1] + y[2] + 1.99004745483398*z[0] - 0.99007225036621*z[1], z[0], z[1]}
			if i/block < len(power) {
				power[i/block] += z[0] * z[0] / block
			}
		}
	}
	mean := func(gate float64) float64 {
		sum, n := 0.0, 0
		for _, p := range power {
			if -0.691+10*math.Log10(p) > gate {
				sum, n = sum+p, n+1
			}
		}
		return -0.691 + 10*math.Log10(sum/float64(n))
	}
	return mean(mean(-70) - 10)
}

func TestTruthHoldsWhatTheDayPromises(t *testing.T) {
	truth := playDay(Options{}).truth()
	kinds := map[Kind]*Pass{}
	for i := range truth.Passes {
		kinds[truth.Passes[i].Kind] = &truth.Passes[i]
	}
	for _, k := range []Kind{KindSafety, KindTempo, KindFalseStart, KindSkip, KindWrongChord, KindPicking, KindPlayback, KindMidStart, KindOtherSong, KindSilent} {
		if kinds[k] == nil {
			t.Errorf("no pass is %s", k)
		}
	}
	played := func(k Kind) (times map[film.SongTime]int, same int) {
		times = map[film.SongTime]int{}
		for _, q := range kinds[k].Plucks {
			if q.SongS != nil {
				times[*q.SongS]++
				if q.Same {
					same++
				}
			}
		}
		return times, same
	}
	all := len(truth.Plucks)
	if times, same := played(KindSafety); len(times) != all || same != all {
		t.Errorf("safety plays %d of %d plucks, %d the same", len(times), all, same)
	}
	if times, _ := played(KindSkip); len(times) >= all {
		t.Error("the pass that skips a line plays everything")
	}
	for at := range func() map[film.SongTime]int { m, _ := played(KindSkip); return m }() {
		if f := kinds[KindSkip].Faults[0].Span; at > f.From+0.1 && at < f.To-0.1 {
			t.Errorf("a pluck at %.2f s is played inside the skipped line %v", at, f)
		}
	}
	if times, same := played(KindWrongChord); same >= len(times) {
		t.Error("no chord of the wrong-chord pass is wrong")
	}
	twice := 0
	for _, n := range func() map[film.SongTime]int { m, _ := played(KindFalseStart); return m }() {
		if n == 2 {
			twice++
		}
	}
	if twice < 10 {
		t.Errorf("the false start plays %d plucks twice", twice)
	}
	if times, _ := played(KindOtherSong); len(times) != 0 || len(kinds[KindOtherSong].Played) != 0 {
		t.Error("the other song has places in this one")
	}
	if p := kinds[KindPlayback]; p.DriftPPM != playbackDriftPPM {
		t.Errorf("playback drifts by %v ppm", p.DriftPPM)
	} else {
		for _, q := range p.Plucks {
			if q.SongS == nil {
				continue
			}
			due := p.OffsetS + float64(*q.SongS)*(1+p.DriftPPM*1e-6)
			if math.Abs(float64(q.PassS)-due) > 0.021 { // a mime's unevenness is held within 20 ms
				t.Errorf("mimed pluck at %.3f s is due at %.3f", q.PassS, due)
			}
		}
	}
	if mean := tempoRatio(kinds[KindTempo]); math.Abs(mean-1.03) > 0.02 {
		t.Errorf("the slow pass takes %.3f times as long", mean)
	}
	for _, s := range truth.Setups {
		if want := s.Name == "wide" || s.Name == "hands" || s.Name == "strings"; s.HasSpark != want {
			t.Errorf("%s: sparks in the picture: %v, want %v", s.Name, s.HasSpark, want)
		}
	}
}

// tempoRatio is how long the pass takes for the song against the record.
func tempoRatio(p *Pass) float64 {
	k := p.Played[0].Knots
	return float64(k[len(k)-1].Pass-k[0].Pass) / float64(k[len(k)-1].Song-k[0].Song)
}

// paperCamera notes what it is asked to film.
type paperCamera struct {
	mu    sync.Mutex
	specs []media.EncodeSpec
	fail  error
}

func (c *paperCamera) Encode(ctx context.Context, s media.EncodeSpec, next func([]byte) error) error {
	if c.fail != nil {
		return c.fail
	}
	pix := make([]byte, s.Width*s.Height*3/2)
	for range 2 {
		if err := next(pix); err != nil {
			return err
		}
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.specs = append(c.specs, s)
	return os.WriteFile(s.Out, []byte("clip"), 0o644)
}

func TestMakeWritesTheDay(t *testing.T) {
	dir := t.TempDir()
	cam := &paperCamera{}
	last := 0.0
	day, err := Make(context.Background(), cam, dir, Options{Seed: 9}, func(done float64, note string) {
		if done < last || note == "" {
			t.Errorf("progress %.2f after %.2f, note %q", done, last, note)
		}
		last = done
	})
	if err != nil {
		t.Fatal(err)
	}
	read, err := ReadTruth(filepath.Join(dir, "truth.json"))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(day, read); diff != "" {
		t.Errorf("truth read back differs:\n%s", diff)
	}
	if len(cam.specs) != len(day.Passes) {
		t.Errorf("%d clips filmed of %d passes", len(cam.specs), len(day.Passes))
	}
	for _, p := range day.Passes {
		if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(p.File))); err != nil {
			t.Error(err)
		}
	}
	table, _ := os.ReadFile(filepath.Join(dir, "clips", "setups.csv"))
	if !strings.HasPrefix(string(table), "setup,shows,size,serves\nwide,both,wide,\nface,lips,close,\n") {
		t.Errorf("setups.csv is %q", table)
	}
	// The record: a RIFF/WAVE file of 48 kHz stereo 16 bit, as long as the truth says.
	wav, _ := os.ReadFile(filepath.Join(dir, "song.wav"))
	samples := int(math.Round(day.SongS * sampleRate))
	if len(wav) != 44+4*samples || string(wav[:4]) != "RIFF" || string(wav[8:16]) != "WAVEfmt " ||
		binary.LittleEndian.Uint16(wav[22:]) != 2 || binary.LittleEndian.Uint32(wav[24:]) != 48000 || binary.LittleEndian.Uint16(wav[34:]) != 16 {
		t.Errorf("song.wav: %d bytes, head %x", len(wav), wav[:44])
	}
	left := leftovers(t, dir)
	if len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestMakeThatFailsSaysSo(t *testing.T) {
	dir := t.TempDir()
	broken := errors.New("the card is full")
	if _, err := Make(context.Background(), &paperCamera{fail: broken}, dir, Options{}, nil); !errors.Is(err, broken) {
		t.Errorf("error %v, want %v", err, broken)
	}
	if _, err := os.Stat(filepath.Join(dir, "truth.json")); !errors.Is(err, fs.ErrNotExist) {
		t.Error("there is a truth of a day that was not filmed")
	}
	if left := leftovers(t, dir); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
	if _, err := ReadTruth(filepath.Join(dir, "truth.json")); film.CodeOf(err) != film.CodeNotFound {
		t.Errorf("reading no truth: %v", err)
	}
}

// leftovers lists half-written files.
func leftovers(t *testing.T, dir string) (out []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".part") {
			out = append(out, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestColoursOfTheCode: codes of known colours. Source: ITU-R BT.709-6, items
// 3.2 to 3.4 (R'G'B' to Y'CbCr) and 4.6 (quantisation), and the 100 % bars that
// follow from them: red 63/102/240, green 173/42/26, blue 32/240/118.
func TestColoursOfTheCode(t *testing.T) {
	for _, c := range []struct {
		rgb  uint32
		want [3]byte
	}{{0x000000, [3]byte{16, 128, 128}}, {0xffffff, [3]byte{235, 128, 128}}, {0x0000ff, [3]byte{63, 102, 240}}, {0x00ff00, [3]byte{173, 42, 26}}, {0xff0000, [3]byte{32, 240, 118}}} {
		pic := newCanvas(2, 2)
		for i := range pic.pix {
			pic.pix[i] = c.rgb | 0xff000000
		}
		pix := make([]byte, 6)
		toYUV(pic, pix)
		for i, got := range []byte{pix[0], pix[4], pix[5]} {
			if math.Abs(float64(got)-float64(c.want[i])) > 1 {
				t.Errorf("%06x: codes %v %v %v, want %v", c.rgb, pix[0], pix[4], pix[5], c.want)
				break
			}
		}
	}
}

package filmday

import (
	"math"
	"math/rand/v2"

	"takeweave/internal/dsp"
	"takeweave/internal/film"
)

// Camera is anything that records a scene: a camera, a recorder beside it.
type Camera struct {
	Room      Room
	From, To  float64 // seconds of the scene that it records; To 0: to the end
	SNRDB     float64 // the playing over all noise
	Pink      float64 // 0 white to 1 pink
	HumDB     float64 // mains hum with harmonics, against the noise; 0 none
	HumHz     float64
	RumbleDB  float64 // handling and traffic, against the noise; 0 none
	LowHz     float64 // what it hears
	HighHz    float64
	Gain      bool // automatic
	Attack    float64
	Release   float64 // seconds
	ClipDB    float64 // how far the playing is pushed into soft clipping
	PPM       float64 // its clock counts too many seconds by so much
	CodecKbps float64 // 0: not coded
	LevelDB   float64 // of what plays, re full scale
	Dropouts  int     // holes of some ms
}

// AnyCamera draws a camera in a room.
func AnyCamera(r *rand.Rand) Camera {
	one := func(in int) bool { return r.IntN(in) == 0 }
	c := Camera{
		Room: AnyRoom(r), SNRDB: 10 + 20*r.Float64(), Pink: r.Float64(), LowHz: 40 + 160*r.Float64(), HighHz: 5000 + 5000*r.Float64(),
		Gain: one(2), Attack: 0.005 + 0.05*r.Float64(), Release: 0.3 + 3*r.Float64(), PPM: 60 * (2*r.Float64() - 1), LevelDB: -34 + 18*r.Float64(),
	}
	if one(3) {
		c.HumDB, c.HumHz = 6*r.Float64()+0.1, []float64{50, 60}[r.IntN(2)]
	}
	if one(3) {
		c.RumbleDB = 9*r.Float64() + 0.1
	}
	if one(5) {
		c.ClipDB = 9 * r.Float64()
	}
	if !one(3) {
		c.CodecKbps = 32 + 96*r.Float64()
	}
	if one(10) {
		c.PPM *= 1.6 // to 96
	}
	if one(10) {
		c.Dropouts = 1 + r.IntN(3)
	}
	if one(8) {
		c.LevelDB = -60 + 20*r.Float64()
	}
	return c
}

// Pass is a recording with what is true of it.
type Pass struct {
	Sound dsp.Slice
	Truth Truth
}

// Film records the scene.
func (c *Scene) Film(r *rand.Rand, cam Camera) Pass {
	if cam.To == 0 {
		cam.To = c.seconds
	}
	x := cam.Room.in(r, c.dry)
	playing := loudDB(x)
	if math.IsInf(playing, 0) || math.IsNaN(playing) {
		playing = -50
	}
	delay := cam.Room.delay()
	first, last := int(cam.From*Rate)-delay, int(cam.To*Rate)-delay
	heard := make([]float32, max(last-first, 0))
	_ = dsp.Slice{Hz: Rate, Samples: x}.Read(heard, first) // never fails
	x = heard
	cam.noise(r, x, playing-cam.SNRDB)
	band{cam.LowHz, cam.HighHz}.pass(x)
	if cam.Gain {
		gain(x, cam.Attack, cam.Release)
		playing = loudDB(x)
	}
	if cam.ClipDB > 0 {
		scale(x, -6-playing)
		limit(x, cam.ClipDB)
		playing = loudDB(x)
	}
	x = drift(x, cam.PPM)
	if cam.CodecKbps > 0 {
		x = Codec{Kbps: cam.CodecKbps}.code(x)
	}
	for range cam.Dropouts {
		hole := min(Rate/200+r.IntN(Rate/12), len(x))
		at := r.IntN(len(x) - hole + 1)
		clear(x[at : at+hole])
	}
	scale(x, cam.LevelDB-playing)
	for i, v := range x {
		x[i] = max(-1, min(1, v))
	}
	late := float64(delay)/Rate - float64(int(cam.From*Rate))/Rate
	truth := c.truth.heardBy(func(t float64) float64 { return (t + late) * (1 + cam.PPM*1e-6) }, dsp.Seconds(dsp.Slice{Hz: Rate, Samples: x}))
	truth.By, truth.DelayMS = cam, 1000*float64(delay)/Rate
	if len(truth.Pieces) == 0 && truth.Status == film.Aligned {
		truth.Status = film.Refused // nothing of the song is in it
	}
	return Pass{dsp.Slice{Hz: Rate, Samples: x}, truth}
}

// noise adds hiss, hum and rumble whose power together is at a level.
func (cam Camera) noise(r *rand.Rand, x []float32, db float64) {
	n := make([]float32, len(x))
	// Pink noise as a sum of three one-pole filters. Source: the economy filter of
	// P. Kellet, from memory [Kellet1999].
	var a, b, c float64
	for i := range n {
		w := r.NormFloat64()
		a = 0.99765*a + w*0.0990460
		b = 0.96300*b + w*0.2965164
		c = 0.57000*c + w*1.0526913
		n[i] = float32((1-cam.Pink)*w + cam.Pink*0.5*(a+b+c+w*0.1848))
	}
	hiss := rms(n)
	if cam.HumDB > 0 {
		level := hiss * math.Pow(10, cam.HumDB/20)
		for k, share := range []float64{0.7, 0.5, 0.4, 0.2, 0.2} {
			step := 2 * math.Pi * cam.HumHz * float64(k+1) / Rate
			phase := 6 * r.Float64()
			for i := range n {
				n[i] += float32(level * share * math.Sin(step*float64(i)+phase))
			}
		}
	}
	if cam.RumbleDB > 0 {
		level := hiss * math.Pow(10, cam.RumbleDB/20)
		var low, lower, swell float64
		const cut = 2 * math.Pi * 45 / Rate
		rumble := make([]float32, len(n))
		for i := range rumble {
			low += cut * (r.NormFloat64() - low)
			lower += cut * (low - lower)
			swell += 1e-4 * (math.Abs(r.NormFloat64()) - swell)
			rumble[i] = float32(lower * swell)
		}
		g := float32(level / (rms(rumble) + 1e-12))
		for i, v := range rumble {
			n[i] += g * v
		}
	}
	g := float32(math.Pow(10, db/20) / (rms(n) + 1e-12))
	for i, v := range n {
		x[i] += g * v
	}
}

func rms(x []float32) float64 {
	var sum float64
	for _, v := range x {
		sum += float64(v) * float64(v)
	}
	return math.Sqrt(sum / math.Max(1, float64(len(x))))
}

// band lets pass what lies between two edges, with 12 dB an octave beyond.
type band struct{ low, high float64 }

func (b band) pass(x []float32) {
	l, h := 1-math.Exp(-2*math.Pi*b.low/Rate), 1-math.Exp(-2*math.Pi*b.high/Rate)
	if b.high >= Rate/2 {
		h = 1
	}
	var l1, l2, h1, h2 float64
	for i, v := range x {
		y := float64(v)
		l1 += l * (y - l1)
		y -= l1
		l2 += l * (y - l2)
		y -= l2
		h1 += h * (y - h1)
		h2 += h * (h1 - h2)
		x[i] = float32(h2)
	}
}

// gain turns x up and down as a camera does: fast down, slowly up, no more than
// 24 dB up.
func gain(x []float32, attack, release float64) {
	up, down := 1-math.Exp(-1/(attack*Rate)), 1-math.Exp(-1/(release*Rate))
	target := math.Pow(10, loudDB(x)/20)
	env := target
	for i, v := range x {
		if a := math.Abs(float64(v)) * 1.5; a > env {
			env += (a - env) * up
		} else {
			env += (a - env) * down
		}
		x[i] = float32(float64(v) * math.Min(target/(env+1e-12), 16))
	}
}

// drift returns x on a clock that counts too many seconds by ppm: cubic between
// samples.
func drift(x []float32, ppm float64) []float32 {
	clock := 1 + ppm*1e-6
	if ppm == 0 || len(x) < 4 {
		return x
	}
	out := make([]float32, int(float64(len(x)-3)*clock))
	for i := range out {
		at := float64(i) / clock
		k := min(max(int(at), 1), len(x)-3)
		t := float32(at - float64(k))
		a, b, c, d := x[k-1], x[k], x[k+1], x[k+2]
		out[i] = b + t*((c-a)/2+t*(a-2.5*b+2*c-d/2+t*((d-a)/2+1.5*(b-c))))
	}
	return out
}

package media

import (
	"bufio"
	"fmt"
	"math"
	"os"
)

// ToneMapped reports whether the picture must pass a tone table to become
// BT.709: it is HLG or PQ, or has the wide colours of BT.2020.
func (p *Picture) ToneMapped() bool { return p.HDR || p.Primaries == "bt2020" }

// ToneNote says in a sentence what becomes of a picture that is tone-mapped, ""
// for one that is not.
func (p *Picture) ToneNote() string {
	const hdr = ", high dynamic range: shown as BT.709, diffuse white (203 cd/m²) at 85 % of the film's light, brighter light bent towards white, darker than 122 cd/m² unchanged"
	switch {
	case p.Transfer == "arib-std-b67":
		return "HLG" + hdr
	case p.Transfer == "smpte2084":
		return "PQ" + hdr
	case p.ToneMapped():
		return "BT.2020 colours at standard range: brought to BT.709, colours outside of it cut off"
	}
	return ""
}

// toneSize is the number of points a side of the tone table. Between them FFmpeg
// interpolates: with 33 the error on greys stays under one 8-bit step (see the
// test).
const toneSize = 33

// withTone calls f with the filter that takes the source's R'G'B' to BT.709, with
// a comma before it, or with "" when it needs none, and removes the filter's
// table afterwards.
func withTone(p *Picture, f func(tone string) error) error {
	if !p.ToneMapped() {
		return f("")
	}
	file, err := os.CreateTemp("", "tone-*.cube")
	if err != nil {
		return err
	}
	defer os.Remove(file.Name())
	w := bufio.NewWriter(file)
	fmt.Fprintf(w, "LUT_3D_SIZE %d\n", toneSize)
	for b := range toneSize { // red runs fastest
		for g := range toneSize {
			for r := range toneSize {
				const last = toneSize - 1
				o := toneMap(p.Transfer, [3]float64{float64(r) / last, float64(g) / last, float64(b) / last})
				fmt.Fprintf(w, "%.6f %.6f %.6f\n", o[0], o[1], o[2])
			}
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if err := file.Close(); err != nil {
		return err
	}
	return f(throughTable(file.Name()))
}

// toneMap turns a BT.2020 signal R'G'B', each 0..1, into a BT.709 signal 0..1.
//
// transfer is "arib-std-b67" (HLG), "smpte2084" (PQ), or anything else for
// standard range. HDR light on a 1000 cd/m2 display is divided by the 203 cd/m2
// of diffuse white, rolled off by rollOff, and shown on a gamma 2.4 display.
//
// Source: [BT2100] for HLG and PQ, [BT2408] for diffuse white, [BT2087] for the
// matrix, [BT1886] for the display. The roll-off is ours.
func toneMap(transfer string, signal [3]float64) [3]float64 {
	var light [3]float64 // display light, 1 is diffuse white
	switch transfer {
	case "arib-std-b67":
		light = hlgLight(signal)
	case "smpte2084":
		for i, v := range signal {
			light[i] = pqNits(v) / diffuseWhiteNits
		}
	default:
		for i, v := range signal {
			light[i] = math.Pow(v, displayGamma)
		}
	}
	m := bt2020ToBT709
	var out [3]float64
	for i := range 3 {
		out[i] = math.Max(0, m[i][0]*light[0]+m[i][1]*light[1]+m[i][2]*light[2])
	}
	if transfer == "arib-std-b67" || transfer == "smpte2084" {
		// One factor for all three keeps the hue.
		if most := math.Max(out[0], math.Max(out[1], out[2])); most > 0 {
			k := rollOff(most) / most
			for i := range out {
				out[i] *= k
			}
		}
	}
	for i := range out {
		out[i] = math.Pow(math.Min(1, out[i]), 1/displayGamma)
	}
	return out
}

const (
	displayGamma     = 2.4  // [BT1886]
	diffuseWhiteNits = 203  // [BT2408], section 2.2
	hdrPeakNits      = 1000 // [BT2100], nominal peak of the HLG reference display
	rollOffFrom      = 0.6  // ours: below, light passes unchanged; diffuse white lands at 0.85 of the film's white
)

// bt2020ToBT709 takes linear RGB of BT.2020 to BT.709. Source: [BT2087], equation 7 ff.
var bt2020ToBT709 = [3][3]float64{
	{1.6605, -0.5876, -0.0728},
	{-0.1246, 1.1329, -0.0083},
	{-0.0182, -0.1006, 1.1187},
}

// hlgLight returns the display light of an HLG signal, 1 is diffuse white.
// Source: [BT2100], Table 5, with a system gamma of 1.2 for a 1000 cd/m2 display.
func hlgLight(signal [3]float64) [3]float64 {
	var scene [3]float64
	for i, v := range signal {
		scene[i] = hlgScene(v)
	}
	y := 0.2627*scene[0] + 0.6780*scene[1] + 0.0593*scene[2]
	k := math.Pow(y, 0.2) * hdrPeakNits / diffuseWhiteNits
	for i := range scene {
		scene[i] *= k
	}
	return scene
}

// hlgScene is HLG's inverse OETF, 0..1 to 0..1. Source: [BT2100], Table 5.
func hlgScene(v float64) float64 {
	const a, b, c = 0.17883277, 0.28466892, 0.55991073
	if v <= 0.5 {
		return v * v / 3
	}
	return (math.Exp((v-c)/a) + b) / 12
}

// pqNits is PQ's EOTF, 0..1 to 0..10000 cd/m2. Source: [BT2100], Table 4.
func pqNits(v float64) float64 {
	const m1, m2 = 2610.0 / 16384, 2523.0 / 4096 * 128
	const c1, c2, c3 = 3424.0 / 4096, 2413.0 / 4096 * 32, 2392.0 / 4096 * 32
	p := math.Pow(v, 1/m2)
	return 10000 * math.Pow(math.Max(p-c1, 0)/(c2-c3*p), 1/m1)
}

// rollOff leaves light up to rollOffFrom as it is and bends the rest towards 1,
// without a kink.
func rollOff(x float64) float64 {
	if x <= rollOffFrom {
		return x
	}
	const room = 1 - rollOffFrom
	return rollOffFrom + room*(1-math.Exp(-(x-rollOffFrom)/room))
}

package picture

import (
	_ "embed"
	"encoding/json"
	"fmt"
)

//go:embed model/tiny_face_detector_model.bin
var weightBytes []byte

//go:embed model/tiny_face_detector_model-weights_manifest.json
var weightManifest []byte

// weights returns the net's arrays by name, each value v·scale + min of its
// byte.
//
// Source: [TinyFace].
func weights(manifest, packed []byte) (map[string][]float32, error) {
	var groups []struct {
		Weights []struct {
			Name         string
			Shape        []int
			Quantization struct{ Scale, Min float64 }
		}
	}
	if err := json.Unmarshal(manifest, &groups); err != nil {
		return nil, err
	}
	arrays := map[string][]float32{}
	for _, g := range groups {
		for _, w := range g.Weights {
			n := 1
			for _, d := range w.Shape {
				n *= d
			}
			if n > len(packed) {
				return nil, fmt.Errorf("picture: the weights end before %s", w.Name)
			}
			values := make([]float32, n)
			for i, b := range packed[:n] {
				values[i] = float32(float64(b)*w.Quantization.Scale + w.Quantization.Min)
			}
			arrays[w.Name], packed = values, packed[n:]
		}
	}
	if len(packed) > 0 {
		return nil, fmt.Errorf("picture: %d bytes of weights are left over", len(packed))
	}
	return arrays, nil
}

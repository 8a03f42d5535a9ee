//go:build !purego

package dsp

// plainly runs f without the assembly.
func plainly(f func()) {
	was := vector
	vector = false
	defer func() { vector = was }()
	f()
}

//go:build !amd64 || purego

package dsp

// plainly runs f without the assembly, which is not there.
func plainly(f func()) { f() }

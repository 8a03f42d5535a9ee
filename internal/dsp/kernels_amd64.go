//go:build !purego

package dsp

import "golang.org/x/sys/cpu"

// vector is whether the assembly is used. Tests switch it off.
var vector = cpu.X86.HasAVX2 && cpu.X86.HasFMA

// Command kernels writes the AVX2 loops of internal/dsp: an assembly file and
// the Go declarations that go with it. Each loop has a twin in plain Go there,
// with the same arguments and the words that explain it.
//
// Usage, from the kernels folder:
//
//	go run . -out ../../internal/dsp/vector_amd64.s -stubs ../../internal/dsp/vector_amd64.go -pkg dsp
package main

import "github.com/mmcloughlin/avo/build"

func main() {
	build.ConstraintExpr("!purego")
	radix4()
	radix2()
	turn()
	power()
	gather()
	split()
	join()
	unzip()
	zip()
	weigh()
	combine()
	pairUp()
	addUp()
	dot()
	abovePeers()
	takeFloor()
	rise()
	logOnePlus()
	fromInt16()
	build.Generate()
}

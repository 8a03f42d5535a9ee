package dsp

// The loops in which nearly all the time goes. Each is here in plain Go; on
// amd64 processors with AVX2 and FMA a twin in assembly does the same on lanes
// values at once (kernels_amd64.go). The two round differently: the vector loops
// do not round between a product and the sum it goes into. The transforms of
// both stay within the same limit of a double-precision one.

//go:generate go -C ../../tools/kernels run . -out ../../internal/dsp/vector_amd64.s -stubs ../../internal/dsp/vector_amd64.go -pkg dsp

// lanes is how many frames are transformed side by side: value i of frame l lies
// at i*lanes+l.
const lanes = 8

// peers is how many neighbouring values abovePeers looks at.
const peers = 13

package crop

// eased returns the running mean of a path over 2·half+1 moments; before its
// first and after its last moment the path stands. The mean is no faster than
// the path, stays within what the path spans and still stands where the path
// stands for that long. With a path of at most r per moment it turns by at most
// 2r/(2·half+1) per moment, and lies within r·(2·half+1)/4 of the path: the worst
// is the tip of a turn from full speed to full speed.
func eased(x []float64, half int) []float64 {
	n := len(x)
	at := func(i int) float64 { return x[max(0, min(n-1, i))] }
	out := make([]float64, n)
	for i := range out {
		// The mean of the differences, so that a path that stands keeps its exact place.
		sum := 0.0
		for k := i - half; k <= i+half; k++ {
			sum += at(k) - x[i]
		}
		out[i] = x[i] + sum/float64(2*half+1)
	}
	return out
}

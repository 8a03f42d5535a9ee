package picture

// chance returns numbers in [0, 1) that are the same in every run.
func chance(seed uint64) func() float64 {
	return func() float64 {
		seed = seed*6364136223846793005 + 1442695040888963407 // Knuth's constants, from memory
		return float64(seed>>40) / (1 << 24)
	}
}

package light

import (
	"fmt"
	"math"
	"strconv"
)

// plain writes a number with up to a decimal.
func plain(x float64) string { return strconv.FormatFloat(math.Round(10*x)/10, 'f', -1, 64) }

// amount writes lux: whole from 100 on.
func amount(x float64) string {
	if x >= 99.95 {
		return fmt.Sprintf("%.0f", x)
	}
	return plain(x)
}

func lux(x float64) string { return amount(x) + " lx" }

func metres(x float64) string { return fmt.Sprintf("%.2f m", x) }

func stopWord(x float64) string {
	if plain(x) == "1" {
		return "1 stop"
	}
	return plain(x) + " stops"
}

package light

import "takeweave/internal/film"

// What hangs before lamps, as it usually is; the person's own is better measured.
var (
	Nets = []film.Default{
		net("half-stop net", -0.5),
		net("one-stop net", -1),
		net("two-stop net", -2),
	}
	Diffusions = []film.Default{
		cloth("light frost", -0.4, "-0.3 to -0.5"),
		cloth("quarter diffusion", -0.6, "-0.5 to -0.75"),
		cloth("half diffusion", -1, "about -1"),
		cloth("silk", -1.5, "about -1.5"),
		cloth("full diffusion", -1.75, "-1.5 to -2"),
	}
	// Gels are not exact opposites: a full orange warms more than a full blue cools.
	Gels = []film.Default{
		gel("double blue", -274),
		gel("full blue", -137),
		gel("three-quarter blue", -112),
		gel("half blue", -78),
		gel("quarter blue", -35),
		gel("eighth blue", -18),
		gel("eighth orange", 26),
		gel("quarter orange", 64),
		gel("half orange", 109),
		gel("three-quarter orange", 124),
		gel("full orange", 159),
	}
)

func net(name string, stops float64) film.Default {
	return film.Default{Name: name, Value: stops, Unit: "stops", Source: film.RuleOfThumb, From: "common practice"}
}

func cloth(name string, stops float64, span string) film.Default {
	return film.Default{Name: name, Value: stops, Unit: "stops", Source: film.RuleOfThumb, From: "common practice: " + span}
}

func gel(name string, mired float64) film.Default {
	return film.Default{Name: name, Value: mired, Unit: "mired", Source: film.Published, From: "trade tables of mired shifts, which agree"}
}

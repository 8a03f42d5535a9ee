package main

import (
	"fmt"
	"hash/fnv"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"

	"takeweave/internal/workbench"
)

// makeMedia makes a record and one clip a setup, unless they lie there already.
func (d *day) makeMedia() error {
	length := fmt.Sprintf("%.2f", math.Max(float64(d.film.Song.Duration), 10)+5)
	if err := make1(filepath.Join(d.o.media, "record.wav"),
		"-f", "lavfi", "-i", fmt.Sprintf("aevalsrc=0.3*sin(2*PI*220*t)*exp(-6*mod(t-0.4\\,%f))+0.1*sin(2*PI*330*t)*exp(-3*mod(t-0.4\\,%f)):s=44100:d=%s", beat, 2*beat, length), "-ac", "2"); err != nil {
		return err
	}
	hues := []int{200, 30, 95, 265, 330}
	for i, s := range setups {
		source := fmt.Sprintf("gradients=s=640x360:r=25:speed=0.02:c0=0x101820:c1=0x%06x:seed=%d:d=%s", 0x304050+i*0x241108, i+3, length)
		label := fmt.Sprintf("hue=h=%d,drawgrid=w=128:h=72:t=1:c=white@0.12,drawtext=text='%s':x=40:y=290:fontsize=36:fontcolor=white@0.8,drawtext=text='%%{pts\\:hms}':x=w-220:y=300:fontsize=26:fontcolor=white@0.7,drawbox=x='320+200*sin(t*2)':y=150:w=60:h=60:c=white@0.6:t=fill", hues[i], s.Name)
		if err := make1(filepath.Join(d.o.media, s.Name+".mp4"), "-f", "lavfi", "-i", source, "-vf", label, "-c:v", "libx264", "-preset", "ultrafast", "-crf", "28", "-g", "12", "-pix_fmt", "yuv420p", "-movflags", "+faststart"); err != nil {
			return err
		}
		if err := make1(filepath.Join(d.o.media, s.Name+".jpg"), "-ss", "4", "-i", filepath.Join(d.o.media, s.Name+".mp4"), "-frames:v", "1", "-vf", "scale=320:-1"); err != nil {
			return err
		}
	}
	return nil
}

func make1(path string, args ...string) error {
	if _, err := os.Stat(path); err == nil {
		return nil
	}
	all := append([]string{"-nostdin", "-v", "error"}, args...)
	out, err := exec.Command("ffmpeg", append(all, path)...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("making %s: %w: %s", filepath.Base(path), err, out)
	}
	return nil
}

func (d *day) mediaRoutes(m *http.ServeMux) {
	file := func(name string) http.HandlerFunc {
		return func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, filepath.Join(d.o.media, name)) }
	}
	m.HandleFunc("GET /media/record", file("record.wav"))
	m.HandleFunc("GET /media/ear/{pass}", file("record.wav"))
	m.HandleFunc("GET /media/wave", func(w http.ResponseWriter, _ *http.Request) {
		d.answer(w, func() any {
			wave := workbench.Wave{Step: 0.02}
			for t := 0.0; t < float64(d.film.Song.Duration); t += wave.Step {
				top := 90 * math.Exp(-3*math.Mod(math.Max(t-0.4, 0), beat)) * (0.5 + 0.5*math.Abs(math.Sin(t/9)))
				wave.Peaks = append(wave.Peaks, int8(-top*0.9), int8(top))
			}
			return wave
		})
	})
	m.HandleFunc("GET /media/clip/{id}", func(w http.ResponseWriter, r *http.Request) {
		id, _ := strconv.ParseInt(r.PathValue("id"), 10, 64)
		for _, p := range d.film.Passes {
			if p.Files[0].Clip == id {
				file(p.Setup+".mp4")(w, r)
				return
			}
		}
		refuse(w, "there is no such clip", "reload the page")
	})
	m.HandleFunc("GET /media/still/{pass}", func(w http.ResponseWriter, r *http.Request) {
		for _, p := range d.film.Passes {
			if p.Name == r.PathValue("pass") {
				h := fnv.New32()
				fmt.Fprint(h, p.Name, r.FormValue("at"))
				w.Header().Set("Etag", fmt.Sprintf("\"%x\"", h.Sum32()))
				file(p.Setup+".jpg")(w, r)
				return
			}
		}
		refuse(w, "there is no such pass", "reload the page")
	})
}

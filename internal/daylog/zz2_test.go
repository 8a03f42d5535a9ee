package daylog
import ("testing";"math/rand/v2";"fmt")
func TestZH(t *testing.T){
	var s score
	bins:=map[int][2]int{}
	for seed := uint64(20000); seed<20700; seed++ {
		r := rand.New(rand.NewPCG(seed, 8)); h:=anyHabits(r)
		d := aDay(r, h)
		tt:=Tie(aSong(), d.entries, d.clips)
		for _, w := range s.judge(d, tt) { fmt.Printf("day %d: %s\n", seed, w) }
		put:=func(p float64, ok bool){ k:=0; for _,x:=range []float64{.99,.995,.998,.999,.9999}{ if p>=x {k++}}; b:=bins[k]; b[0]++; if ok {b[1]++}; bins[k]=b}
		for _,x:=range tt.Tied { put(x.Chance, fmt.Sprint(x.Entries)==fmt.Sprint(d.is[x.File]))}
		for _,q:=range tt.Questions { put(q.Candidates[0].Chance, fmt.Sprint(q.Candidates[0].Entries)==fmt.Sprint(d.is[q.File]))}
	}
	fmt.Printf("%+v\nbins >=.99 .995 .998 .999 .9999: %v\n", s,bins)
}

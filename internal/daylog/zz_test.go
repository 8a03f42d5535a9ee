package daylog
import ("testing";"math/rand/v2";"fmt";"os";"slices";"cmp")
func TestZZ(t *testing.T){
 for _,seed := range []uint64{5008,5013,5021} {
	r := rand.New(rand.NewPCG(seed, 8)); h:=anyHabits(r); h.paper=true; d := aDay(r, h)
	tt := Tie(aSong(), d.entries, d.clips)
	fmt.Fprintf(os.Stderr,"== %d %+v\n%+v\n",seed,h,tt.Clocks)
	for _,e:=range d.entries { fmt.Fprintf(os.Stderr,"  %s %s %d %s %s\n",e.ID,e.Setup,(e.RollingMS-noon)/1000,e.Lines,e.Origin)}
	cs:=slices.Clone(d.clips); slices.SortFunc(cs,func(a,b Clip)int{return cmp.Compare(a.TimeMS,b.TimeMS)})
	for _,c:=range cs { s:=c.TimeMS+int64(h.offsetS*1000)-noon; if h.atEnd{s-=int64(c.DurationS*1000)}
	 fmt.Fprintf(os.Stderr,"  %s card %s %d +%.0f calls %v %s %v segs %d is %v\n",c.File,c.Card,s/1000,c.DurationS,c.Calls,c.Setup,c.LineUp.Status,len(c.LineUp.Segments),d.is[c.File])}
	for _,x:=range tt.Tied { if x.Chance<.9999 {fmt.Fprintf(os.Stderr,"   %v\n",x)}}
	for _,q:=range tt.Questions { fmt.Fprintf(os.Stderr,"   %.150s  truth %v\n",q.Text,d.is[q.File])}
 }
}

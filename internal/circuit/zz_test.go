package circuit
import ("testing";"fmt";"sootline/internal/worlds/loops")
func TestZZ(t *testing.T){
 for _, seed := range []int{7742,7829,8036,7841}{
  w:=loops.Draw(uint64(seed),tastes[seed%len(tastes)])
  fmt.Println("seed",seed,w.Supply, "return",w.Return)
  for i,p:=range w.Points { fmt.Printf(" %d junction %v spur %d cable %+v B %+v A %+v Br %+v bounds %+v\n",i,p.Junction,p.Spur,p.Cable,p.Before,p.After,p.Branch,p.Bounds)}
  l,d,_:=fromWorld(t,w); c,_:=New(l); v,_:=c.Verdict(d); fmt.Printf("%+v\n",v.Fails)
 }
}

package grader
import ("testing";"fmt";"os";"squaremark/algebra/source";"squaremark/grader/rubric")
func TestZZ(t *testing.T){
 f := os.Getenv("F"); if f=="" {t.Skip()}
 r, d := rubric.LoadFile(f)
 b,_ := os.ReadFile(f)
 txt := func(string) string { return string(b) }
 fmt.Print(source.Print(d, txt))
 if r == nil {return}
 fmt.Print(source.Print(Check(r), txt))
}

package algebra_test

import (
	"testing"
	"time"
)

func TestSeriesTiming(t *testing.T) {
	for _, f := range readFacts(t, "series.txt") {
		begin := time.Now()
		out := f.ask(t)
		took := time.Since(begin)
		mark := "  "
		if out.Verdict.String() != f.verdict {
			mark = "XX"
			if out.Verdict != 0 {
				mark = "WRONG"
			}
		}
		t.Logf("%s %6.1fms %s %s (%s)", mark, float64(took.Microseconds())/1000, f.verdict, f.statement, out.Reason)
		if mark == "WRONG" {
			t.Errorf("%+v", out.Witness)
		}
	}
}

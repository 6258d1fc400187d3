package grader

import (
	"math/big"

	"squaremark/grader/rubric"
)

// fact is one finding about an answer: how far it is met, and what stands in
// the way where it is not met in full.
type fact struct {
	degree   degree
	because  string // one sentence for the pupil; "" where the finding is met
	place    *Place
	slip     string
	evidence *Evidence
}

// judged is an answer that has been looked at. fact gives any finding of its
// kind; the criterion says follow-through, moves and slips.
type judged interface {
	fact(code string, c *rubric.Criterion) fact
	understood() string
	report() []Finding // findings that earn nothing: places, slips, lines
	// whole is one fact that explains every lost mark, where nothing of the
	// answer could be judged.
	whole() (fact, bool)
}

// award turns the findings about an answer into marks. It is pure arithmetic.
func award(q *rubric.Question, say voice, a judged) QuestionResult {
	w := awarder{say: say, answer: a, byID: map[string]*rubric.Criterion{}, done: map[string]fact{}}
	for _, c := range q.Marks {
		w.byID[c.ID.Value] = c
	}
	out := QuestionResult{
		ID: q.ID.Value, Kind: string(q.Kind), Answered: true,
		Marks: new(big.Rat), Total: q.Total, Understood: a.understood(),
		Criteria: []CriterionResult{}, Findings: a.report(), Feedback: []Feedback{},
	}
	whole, nothing := a.whole()
	if nothing && q.Total.Sign() > 0 {
		out.Feedback = append(out.Feedback, Feedback{Sentence: whole.because, Place: whole.place})
	}
	shown := map[string]bool{}
	facts, earned := make([]fact, len(q.Marks)), make([]*big.Rat, len(q.Marks))
	for i, c := range q.Marks {
		facts[i] = w.criterion(c)
		r := say.result(c, facts[i])
		out.Criteria, earned[i] = append(out.Criteria, r), r.Awarded
		out.NeedsPerson = out.NeedsPerson || r.NeedsPerson
		for _, t := range c.For {
			if !shown[t.Value] && !nothing {
				shown[t.Value] = true
				out.Findings = append(out.Findings, say.finding(t.Value, a.fact(t.Value, c)))
			}
		}
	}
	settled, why := q.Settle(earned, func(code string) bool {
		d := a.fact(code, &rubric.Criterion{FollowThrough: true}).degree
		out.NeedsPerson = out.NeedsPerson || d.open()
		return !d.lost()
	})
	for i, c := range q.Marks {
		out.Criteria[i].Awarded = settled[i]
		out.Marks.Add(out.Marks, settled[i])
		switch {
		case why[i] == rubric.NotBest:
			out.Criteria[i].Because = say.notBest()
			continue // another method counts: nothing to be said to the pupil
		case why[i] == rubric.Capped:
			facts[i] = fact{degree: partly(zero), because: say.capped()}
			out.Criteria[i].Because = say.capped()
		}
		if !facts[i].degree.full() && !nothing {
			out.Feedback = append(out.Feedback, say.feedback(q.Hints, c, facts[i]))
		}
	}
	if q.Hints == rubric.MethodHints && out.Answered && len(out.Feedback) > 0 {
		out.Feedback = append(out.Feedback, Feedback{Sentence: say.method(q.Kind)})
	}
	return out
}

// awarder works out the criteria of one question, each once.
type awarder struct {
	say    voice
	answer judged
	byID   map[string]*rubric.Criterion
	done   map[string]fact
}

// criterion is the finding that decides a criterion, after what it needs.
// Rubrics whose criteria need each other in a circle are refused at load.
func (w *awarder) criterion(c *rubric.Criterion) fact {
	if f, ok := w.done[c.ID.Value]; ok {
		return f
	}
	f := w.own(c)
	for _, need := range c.Needs {
		gate := unmet
		if other := w.byID[need.Value]; other != nil {
			gate = gateOf(w.criterion(other).degree)
		}
		if d := f.degree.and(gate); d.low.Cmp(f.degree.low) != 0 || d.high.Cmp(f.degree.high) != 0 {
			f = fact{degree: d, because: w.say.needs(need.Value, d.open()), place: w.done[need.Value].place}
		}
	}
	w.done[c.ID.Value] = f
	return f
}

// gateOf opens for a criterion that earned something.
func gateOf(d degree) degree {
	switch {
	case d.lost():
		return unmet
	case d.low.Sign() > 0:
		return met
	}
	return withheld
}

// own is the finding that decides a criterion by itself: the one that is met
// least for all, the one that is met most for any.
func (w *awarder) own(c *rubric.Criterion) fact {
	var deciding fact
	for i, t := range c.For {
		f := w.answer.fact(t.Value, c)
		if i == 0 {
			deciding = f
			continue
		}
		joined := deciding.degree.and(f.degree)
		better := f.degree.high.Cmp(deciding.degree.high) < 0 || f.degree.low.Cmp(deciding.degree.low) < 0
		if c.ForAny {
			joined = deciding.degree.or(f.degree)
			better = f.degree.low.Cmp(deciding.degree.low) > 0
		}
		if better {
			deciding = f
		}
		deciding.degree = joined
	}
	return deciding
}

// result is what a criterion earns: its worth times the degree, or nothing
// for now where a person decides.
func (v voice) result(c *rubric.Criterion, f fact) CriterionResult {
	r := CriterionResult{
		ID: c.ID.Value, Type: string(c.Type), Awarded: new(big.Rat), Of: c.Worth,
		NeedsPerson: f.degree.open(), Because: f.because,
	}
	if !f.degree.open() {
		r.Awarded.Mul(c.Worth, f.degree.low)
	}
	if f.degree.full() {
		r.Because = v.met(c)
	}
	return r
}

// feedback is the one sentence about a mark that is not earned in full: the
// teacher's own where there is one, unless a person decides.
func (v voice) feedback(hints rubric.Hints, c *rubric.Criterion, f fact) Feedback {
	switch {
	case !c.Feedback.IsZero() && !f.degree.open():
		return Feedback{Criterion: c.ID.Value, Sentence: c.Feedback.Value, Place: f.place}
	case hints == rubric.NoHints && !f.degree.open():
		return Feedback{Criterion: c.ID.Value, Sentence: v.notEarned(c.ID.Value)}
	}
	return Feedback{Criterion: c.ID.Value, Sentence: f.because, Place: f.place}
}

func (v voice) finding(code string, f fact) Finding {
	detail := f.because
	if detail == "" {
		detail = v.meaning(code)
	}
	return Finding{
		Code: code, State: f.degree.state(), Place: f.place,
		Detail: detail, Slip: f.slip, Evidence: f.evidence,
	}
}

// blocked is an answer of which nothing could be judged: there is none, it
// cannot be read, it is too long, or the engine came to no answer.
type blocked struct {
	say  voice
	code string
	one  fact
	text string
}

func (b blocked) fact(string, *rubric.Criterion) fact { return b.one }
func (b blocked) understood() string                  { return b.text }
func (b blocked) whole() (fact, bool)                 { return b.one, true }
func (b blocked) report() []Finding                   { return []Finding{b.say.finding(b.code, b.one)} }

// unanswered is an answer that was not given: it is not settled otherwise by
// a person.
func unanswered(say voice) blocked {
	return blocked{say: say, code: "unanswered", one: fact{degree: unmet, because: say.unanswered()}}
}

func tooLong(say voice, at string, credit rubric.Credit) blocked {
	return blocked{say: say, code: "too-long", one: fact{degree: degreeOf(credit), because: at}}
}

// degreeOf is what a rule gives.
func degreeOf(c rubric.Credit) degree {
	switch c {
	case rubric.Full:
		return met
	case rubric.Half:
		return partly(half)
	case rubric.Person:
		return withheld
	}
	return unmet
}

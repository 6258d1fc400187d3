package rubric

// Key documents one key of the format. The loader, the JSON Schema and the
// manual all follow this list.
type Key struct {
	Of      string // "quiz", "rules", "question", "criterion", "cap", "example"
	Name    string
	Needed  string // "always", "integers", "square-form", "steps", or "" for optional
	Only    Kind   // the one kind that knows this key, or ""
	Meaning string
}

// Keys lists every key in the order in which a file reads best.
var Keys = []Key{
	{"quiz", "rubric", "always", "", "The version of this format: 1."},
	{"quiz", "quiz", "always", "", "The id of the quiz: small letters, digits and hyphens. Submissions name it."},
	{"quiz", "title", "", "", "The title as the class sees it."},
	{"quiz", "language", "", "", "The language of the prompts and of the feedback, as a BCP 47 tag: en or de have sentences. en when left out."},
	{"quiz", "rules", "", "", "What doubtful lines and answers earn, for every question that has no rules of its own."},
	{"quiz", "hints", "", "", "What feedback may give away: none (that a mark is lost), place (the line, the slip and a number to try), or method (a way that works as well). Default place."},
	{"quiz", "total", "", "", "The marks of the whole quiz. Checked against the sum of the questions' totals."},
	{"quiz", "questions", "always", "", "The questions in their order."},

	{"rules", "leap", "", "", "What a line earns that is true although no step leads there: full, half, none or person. Default none."},
	{"rules", "one-way", "", "", "What a step earns that is claimed in both directions and holds in one: full, half, none or person. Default none."},
	{"rules", "silent-link", "", "", "What a right step earns that has no link sign in front: full, half, none or person. Default full."},
	{"rules", "unreadable", "", "", "What an answer or a line that cannot be read earns: none or person. Default person: a person looks at it."},

	{"question", "id", "always", "", "The id of the question, unique in the file: small letters, digits and hyphens."},
	{"question", "kind", "always", "", "How the question is answered: integers, square-form, steps or values."},
	{"question", "prompt", "always", "", "What the pupil is asked."},
	{"question", "variables", "always", "", "Every variable with the numbers it stands for: real, integer or positive integer."},
	{"question", "givens", "", "", "What may be assumed, one condition or a list of them. They hold together."},
	{"question", "solve", "integers", Integers, "The condition to be solved, or a list of conditions that hold together."},
	{"question", "unknowns", "", Integers, "The unknowns in the order in which a tuple gives them. May be left out where there is one variable."},
	{"question", "expression", "square-form", SquareForm, "The expression that is to be written as multiples of squares plus a constant."},
	{"question", "claim", "steps", Steps, "The statement that the chain of lines is to prove. It must be true."},
	{"question", "least", "", Values, "The expression whose least value is asked for, and where it is taken. One of least, greatest and equality is needed."},
	{"question", "greatest", "", Values, "The expression whose greatest value is asked for, and where it is taken."},
	{"question", "equality", "", Values, "The inequality of which the case of equality is asked for. It must be true."},
	{"question", "start", "", Steps, "Where a chain starts: claim or fact. Left out, the first line of the chain tells. A complete proof that runs the other way earns the same."},
	{"question", "model", "always", "", "A model answer. It must earn every mark. For steps: one line of the chain in each line, its link in front."},
	{"question", "marks", "", "", "The mark scheme, a list of criteria. Left out, the default scheme of the kind holds."},
	{"question", "best-of", "", "", "Groups of criteria, each a list of their ids: the group that gives most counts, and the others give nothing. For questions with several methods."},
	{"question", "caps", "", "", "Upper bounds for groups of criteria."},
	{"question", "total", "", "", "The marks of the question; needed where marks are given. Checked against the sum of the criteria, after best-of and caps."},
	{"question", "rules", "", "", "What doubtful lines and answers earn in this question."},
	{"question", "hints", "", "", "What feedback may give away: none (that a mark is lost), place (the line, the slip and a number to try), or method (a way that works as well). Default place."},
	{"question", "examples", "", "", "Answers with the marks they must get. They are marked whenever the file is loaded."},

	{"criterion", "id", "always", "", "The id of the criterion, unique in its question: small letters, digits and hyphens."},
	{"criterion", "type", "always", "", "The type of the mark: method, accuracy or independent."},
	{"criterion", "worth", "always", "", "What the criterion is worth, exactly: 1, 1/2 or 0.5."},
	{"criterion", "for", "always", "", "The finding that earns the mark; or all: with a list, all of which are needed; or any: with a list, one of which is enough."},
	{"criterion", "needs", "", "", "Ids of criteria without which this one earns nothing: an accuracy mark usually needs its method mark."},
	{"criterion", "follow-through", "", "", "yes: right work after a slip earns the mark. no: only work that follows from right lines. Default yes for method and independent marks, no for accuracy marks."},
	{"criterion", "moves", "", Steps, "With the finding uses-move: the steps of which one must be used."},
	{"criterion", "slips", "", "", "With the finding one-slip: the slips that are forgiven. Left out, every slip of the catalogue but term-lost and one-coefficient."},
	{"criterion", "feedback", "", "", "The teacher's own sentence for a pupil who loses this mark."},

	{"cap", "of", "always", "", "Ids of the criteria that are bounded together. Marks are taken from the last of them first."},
	{"cap", "at-most", "always", "", "What these criteria give at most, exactly: 2, 1/2 or 0.5."},
	{"cap", "unless", "", "", "A finding that lifts the bound: with links-written, the bound holds only for chains without link signs."},

	{"example", "answer", "always", "", "The answer as a pupil would type it."},
	{"example", "marks", "always", "", "The marks that this answer must get."},
	{"example", "note", "", "", "Why the answer gets these marks."},
}

// KeysOf lists the keys of one part of the format.
func KeysOf(part string) []Key {
	var list []Key
	for _, k := range Keys {
		if k.Of == part {
			list = append(list, k)
		}
	}
	return list
}

// PartName is a part of the format with its article.
func PartName(part string) string {
	switch part {
	case "rules":
		return "the rules"
	case "example":
		return "an example"
	}
	return "a " + part
}

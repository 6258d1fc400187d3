package marking

import (
	"fmt"
	"strings"
)

// maxListed bounds how many pupils the text names one by one.
const maxListed = 500

// changesText tells whose marks change, by how much and why.
func changesText(d Difference) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Marked again: %s\n", versions(d))
	up, down := 0, 0
	for _, c := range d.Changed {
		switch c.To.Cmp(c.From.Rat) {
		case 1:
			up++
		case -1:
			down++
		}
	}
	fmt.Fprintf(&b, "%d of %d pupils have changed work: %d more marks, %d fewer, %d the same sum\n",
		len(d.Changed), d.Compared, up, down, len(d.Changed)-up-down)
	for _, side := range []struct {
		what string
		list []string
	}{{"only in the earlier results", d.Gone}, {"only in these results", d.New}} {
		if len(side.list) > 0 {
			fmt.Fprintf(&b, "%s: %d (%s)\n", side.what, len(side.list), strings.Join(side.list[:min(len(side.list), 8)], ", "))
		}
	}
	for _, c := range d.Changed[:min(len(d.Changed), maxListed)] {
		fmt.Fprintf(&b, "\n%s  %s -> %s of %s\n", c.Pupil, markText(c.From), markText(c.To), markText(c.Total))
		for _, q := range c.Questions {
			other := ""
			if q.OtherAnswer {
				other = ", and the answer is another one"
			}
			fmt.Fprintf(&b, "  %s  %s -> %s%s\n", q.ID, markText(q.From), markText(q.To), other)
			for _, one := range q.Criteria {
				b.WriteString(criterionText(one))
			}
			for _, f := range q.Findings {
				fmt.Fprintf(&b, "    finding %s\n", f)
			}
		}
	}
	if more := len(d.Changed) - maxListed; more > 0 {
		fmt.Fprintf(&b, "\nand %d more pupils\n", more)
	}
	return b.String()
}

func versions(d Difference) string {
	if d.Before == nil || d.After == nil {
		return "there is nothing to compare"
	}
	what := "by the same rubric"
	if d.Before.RubricDigest != d.After.RubricDigest {
		what = fmt.Sprintf("by a changed rubric (%s -> %s)", shortDigest(d.Before.RubricDigest), shortDigest(d.After.RubricDigest))
	}
	if d.Before.EngineVersion != d.After.EngineVersion {
		what += fmt.Sprintf(", engine %s -> %s", d.Before.EngineVersion, d.After.EngineVersion)
	}
	return what
}

func shortDigest(text string) string {
	hex := strings.TrimPrefix(text, "sha256:")
	return hex[:min(len(hex), 8)]
}

func criterionText(c ChangedCriterion) string {
	var b strings.Builder
	switch c.Kind {
	case "gone":
		fmt.Fprintf(&b, "    %s  was worth %s and is no longer in the mark scheme\n", c.ID, markText(c.Of))
	case "new":
		fmt.Fprintf(&b, "    %s  new in the mark scheme: %s of %s\n", c.ID, markText(c.To), markText(c.Of))
	case "worth":
		fmt.Fprintf(&b, "    %s  %s -> %s, now of %s\n", c.ID, markText(c.From), markText(c.To), markText(c.Of))
	case "person":
		fmt.Fprintf(&b, "    %s  whether a person must look has changed\n", c.ID)
	default:
		fmt.Fprintf(&b, "    %s  %s -> %s of %s\n", c.ID, markText(c.From), markText(c.To), markText(c.Of))
	}
	if c.Then != "" && c.Then != c.Now {
		fmt.Fprintf(&b, "      then  %s\n", c.Then)
	}
	if c.Now != "" {
		fmt.Fprintf(&b, "      now   %s\n", c.Now)
	}
	return b.String()
}

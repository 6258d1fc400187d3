// Package syntax reads formulas and answers as people type them, in plain
// text, Unicode and LaTeX freely mixed, into trees with places, and prints
// trees as plain text, LaTeX and MathML.
//
// Reading decides nothing about truth. Ambiguous text gets the reading stated
// here and a note that says so; text that cannot be read gets one diagnostic
// with its place. Conventions (common practice, no source, where none is
// named):
//
//   - Powers bind tighter than a sign in front: -x^2 is -(x^2). 2^3^2 is
//     2^(3^2). ^ takes a whole number: x^10. Raised characters are powers: x².
//
//   - Products and quotients go from left to right, with or without a written
//     sign: 1/2x is (1/2)x and a/b c is (a/b)c, with a note.
//
//   - Letters side by side are factors: xy is x*y. Known words are words:
//     sqrt, cbrt, root, abs, sum, and, or, not, in, union, Greek letters by
//     name. A letter before a number is a factor too: x2 is x*2, with a note;
//     longer runs of letters that do not look like a product are refused.
//
//   - A name is one Latin or Greek letter, with an index if need be: a_1,
//     a_12, a_i, a_{i+1}, x₁. A written index takes one number or one letter:
//     a_ij is a_i*j, with a note. Cyrillic letters that look Latin are read as
//     Latin, with a note. Primes are refused.
//
//   - 2½ is 2 + 1/2, and so is 2\frac12, with a note. 2 1/2 is refused.
//
//   - √ without brackets takes one number, letter or root, with its power:
//     √2x is (√2)x, √x² is √(x²), with a note. \sqrt follows LaTeX: \sqrt x^2
//     is (\sqrt x)^2, \sqrt2x is (\sqrt2)x.
//
//   - The comma separates: 1,2 is two values. Only where the text cannot be
//     read so is a comma between digits a decimal comma (x > 0,5), with a
//     note. Where semicolons separate, commas between digits are decimal.
//
//   - x = 0, 1 or 2 relates x to a list: it holds for some element.
//     a, b, c > 0 relates a list: it holds for every element.
//
//   - Comma and and bind tighter than or, with a note, except in
//     "x = 0, x = 1 or x = 2". Semicolons and line breaks are loosest.
//     Different values of one name side by side, or rows of values, are
//     alternatives, with a note: x = 1, x = -2 and x = 1, y = 2; x = 2, y = 1.
//     A column of numbers is a list: a sign that begins a line is its own.
//
//   - (2, 5) is a tuple, and an interval after ∈ and beside ∪, ∩, ∖ or with ∞.
//     Both ]2, 5] and (2, 5] are half-open intervals; infinite ends are open.
//
//   - ∅, none, nothing and "no (integer, real) solutions" alone are the empty
//     answer; {} is the empty set.
//
//   - A sum sign takes one term with all its factors: Σ a_i b_i + 1 is
//     (Σ a_i b_i) + 1. A second sum that does not use the first index is a
//     factor: Σ a_i Σ b_i is (Σ a_i)(Σ b_i). Without bounds it runs over the
//     only index in it from 1 to n, with a note.
//
//   - a_1 + ... + a_n is one sum with dots, together with every other term of
//     that sum; 1, 2, ..., 9 is a list with dots.
//
//   - <= is ≤, except at the start of a line of a chain, where it is the link
//     "the line before follows from this one". => and → are links, never ≥.
//
//   - No-break spaces are spaces. Zero-width characters are left out, with a
//     note. Characters that change the direction of writing, the long dash,
//     markup, and LaTeX commands outside a closed list are refused. Nothing is
//     normalised (see charOf).
//
//     ast.go equal.go              the tree
//     chars.go signs.go words.go   what characters, words and commands mean
//     token.go lex*.go             text to tokens
//     read.go                      Read, ReadLine, ReadLines
//     parser.go nodes.go           the state of the parser; making nodes
//     sentence.go assemble.go      links, and, or, lists
//     relation.go                  relations and operations on sets
//     solutions.go                values that can only be alternatives
//     sum.go bigsum.go             sums, products, powers; Σ
//     primary.go roots.go phrase.go brackets.go   the rest
//     errors.go                    all wording
//     print.go plain*.go latex.go mathml.go       printers
package syntax

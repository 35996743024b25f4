"""The bench in an editor: a language server over stdin and stdout.

In: what an editor shows, saved or not, and where the cursor is. Out: findings while you type, their fixes, what a name
means (hover), names to complete with, places to go to, renames, verdicts beside readings. Everything comes from the
same reading, rules and arithmetic as on the command line; the text that is not saved yet is an overlay over the tree.
`shown` has the files and books, `names` what names mean, `hover`, `complete` and `fix` a capability each;
`server` and `protocol` alone know the protocol's loop. Called by `jobkit editor`.
"""

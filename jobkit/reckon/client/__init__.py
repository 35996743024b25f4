"""What a paper for the client holds, before it is put into words.

In: one job, its design and the bench. Out: the facts of the paper and the cautions that apply. Called by `report`.
"""

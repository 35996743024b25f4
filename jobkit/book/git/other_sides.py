"""What other clones have of a file, as far as this clone knows: in a merge, and on its remote-tracking branches."""

from jobkit.book.git.call import UnknownRevisionError
from jobkit.book.git.listing import entries
from jobkit.book.git.repo import Repo, resolve


def is_merging(repo: Repo) -> bool:
    """Tell whether a merge is under way: then its second side comes from elsewhere. Raises GitError.

    In a rebase or a cherry-pick, which have no MERGE_HEAD, the second side is a commit of this clone's own.
    """
    try:
        resolve(repo, "MERGE_HEAD")
    except UnknownRevisionError:
        return False
    return True


def published_blobs(repo: Repo, path: str) -> frozenset[str]:
    """Return the contents that a file of the book has on the remote-tracking branches. Raises GitError."""
    commits = {*repo.ask("for-each-ref", "--format=%(objectname)", "refs/remotes").decode("ascii").split()}
    found = (
        entries(repo, repo.ask("ls-tree", "-z", "--full-tree", commit, "--", repo.prefix + path))
        for commit in sorted(commits)
    )
    return frozenset(entry.blob for listed in found for entry in listed if entry.mode.startswith("100"))

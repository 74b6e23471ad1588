namespace Acquire.Harness.Shell;

/// <summary>Whoever read standard output has gone: the run ends without a word, as after Ctrl-C.</summary>
internal sealed class BrokenOutputException(Exception inner) : IOException("Standard output was closed by its reader.", inner);

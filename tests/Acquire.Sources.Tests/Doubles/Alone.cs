namespace Acquire.Sources.Tests.Doubles;

/// <summary>For tests that measure time, count the process's threads and handles, or load the machine.</summary>
[CollectionDefinition(nameof(Alone), DisableParallelization = true)]
public sealed class Alone;

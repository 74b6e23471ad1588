namespace Acquire.Tests.Doubles;

/// <summary>Tests that need the processor to themselves.</summary>
[CollectionDefinition(nameof(Alone), DisableParallelization = true)]
public class Alone;

namespace Acquire.Harness.Tests.Doubles;

/// <summary>Tests that need the machine's speed run after all others and one by one.</summary>
[CollectionDefinition("Alone", DisableParallelization = true)]
public sealed class Alone;

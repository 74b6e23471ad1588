using Acquire.Link;

namespace Acquire.Sources.Names;

/// <summary>What the name of a source does not say.</summary>
public sealed record SourceChoices
{
    /// <summary>Gets the bytes of a source that brings bytes as they came, or null: nobody does.</summary>
    public IByteTap? Tap { get; init; }

    /// <summary>Sees every frame of the link protocol with its verdict, or null: nobody does.</summary>
    public ILinkObserver? Observer { get; init; }

    /// <summary>Channels, bits and scan rate where neither the name nor the source says any, or null.</summary>
    public Setup? Setup { get; init; }

    /// <summary>The clock of a paced bench; the system's unless given.</summary>
    public TimeProvider Clock { get; init; } = TimeProvider.System;
}

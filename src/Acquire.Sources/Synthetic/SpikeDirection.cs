namespace Acquire.Sources.Synthetic;

/// <summary>Which way spikes point.</summary>
public enum SpikeDirection
{
    /// <summary>Each up or down at random.</summary>
    Either,

    /// <summary>Towards higher codes.</summary>
    Up,

    /// <summary>Towards lower codes.</summary>
    Down,
}

namespace Acquire.Scales;

/// <summary>What a value of a trace is expressed in.</summary>
public enum ValueUnit
{
    /// <summary>Converter codes.</summary>
    Code,

    /// <summary>Volts on the vertical output.</summary>
    Volts,

    /// <summary>Decibels in the vertical's <see cref="VerticalScale.LevelUnit"/>.</summary>
    Level,
}

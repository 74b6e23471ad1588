namespace Acquire.Traces;

/// <summary>The quantity in which values of a column may be averaged, and from which the value asked for follows.</summary>
internal enum ValueBasis
{
    /// <summary>Codes: volts and the own domain are straight lines over them.</summary>
    Codes,

    /// <summary>Squared codes.</summary>
    CodeSquares,

    /// <summary>Squared volts on the output.</summary>
    VoltSquares,

    /// <summary>Squared ratio of a vertical that is linear in voltage: power.</summary>
    RatioSquares,

    /// <summary>The quantity of an averaging domain.</summary>
    Domain,
}

namespace Acquire.Scales;

/// <summary>Which way the codes go when the beam goes up on the instrument's screen.</summary>
public enum SignalUp
{
    /// <summary>A higher code is higher on the screen.</summary>
    CodesRise,

    /// <summary>A lower code is higher on the screen.</summary>
    CodesFall,
}

namespace Acquire.Traces;

/// <summary>Whether a value can be had of columns, and if not, why.</summary>
public enum ValueAvailability
{
    /// <summary>It can.</summary>
    Available,

    /// <summary>The setup has no volts for this vertical.</summary>
    NoVolts,

    /// <summary>The setup has no level for this vertical.</summary>
    NoLevel,

    /// <summary>The setup did not ask for the averaging domain, so its sum was not kept; it cannot be had of what was.</summary>
    DomainNotAsked,

    /// <summary>The domain does not go with this detector or unit.</summary>
    DomainDoesNotApply,
}

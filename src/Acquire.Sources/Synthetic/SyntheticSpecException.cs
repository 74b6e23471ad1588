namespace Acquire.Sources.Synthetic;

/// <summary>A description of a synthetic bench that cannot be used. The message is one line: member, actual value, rule, fix.</summary>
public sealed class SyntheticSpecException : Exception
{
    /// <summary>Makes the exception.</summary>
    /// <param name="message">One line for a person.</param>
    public SyntheticSpecException(string message)
        : base(message)
    {
    }

    /// <summary>Makes the exception with its cause.</summary>
    /// <param name="message">One line for a person.</param>
    /// <param name="cause">What was thrown.</param>
    public SyntheticSpecException(string message, Exception cause)
        : base(message, cause)
    {
    }
}

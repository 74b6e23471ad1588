namespace Acquire.Recordings;

/// <summary>A setup file's content: the setup, and which of its members were inferred rather than stated by a person.</summary>
/// <param name="Setup">The setup.</param>
/// <param name="Guessed">Paths of members that are guesses, as they stand in the file: "sweep.direction", "verticals[0].volts".</param>
public sealed record SetupDocument(Setup Setup, IReadOnlyList<string> Guessed)
{
    /// <summary>A setup in which nothing was guessed.</summary>
    /// <param name="setup">The setup.</param>
    public SetupDocument(Setup setup)
        : this(setup, [])
    {
    }
}

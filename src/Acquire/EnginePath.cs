namespace Acquire;

/// <summary>How the engine goes through scans. All ways give the same bits.</summary>
internal enum EnginePath
{
    /// <summary>One after the other: the specification.</summary>
    Single,

    /// <summary>Blocks where nothing has to be decided, with vectors as wide as the machine's; the rest singly.</summary>
    Blocks,
}

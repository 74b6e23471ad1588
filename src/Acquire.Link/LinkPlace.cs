namespace Acquire.Link;

/// <summary>Where a sound frame stands in the stream.</summary>
internal enum LinkPlace
{
    First,
    Follows,
    Gap,
    NewStart,
    Duplicate,
    Late,
    Uncertain,
}
